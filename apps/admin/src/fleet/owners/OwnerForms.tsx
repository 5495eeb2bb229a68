import { TextInput, required } from 'react-admin';
import { CreatePage, EditPage } from '../../common/RecordForm.js';

const up = { to: '/owners', word: 'Owners' };

function Fields() {
  return (
    <>
      <TextInput source="name" label="Name" validate={required()} />
      <TextInput source="contactName" label="Contact" />
      <TextInput source="email" label="E-mail" type="email" />
      <TextInput source="phone" label="Telephone" />
    </>
  );
}

export function OwnerCreate() {
  return (
    <CreatePage resource="owners" heading="Add an owner" up={up} then={() => '/owners'}>
      <Fields />
    </CreatePage>
  );
}

export function OwnerEdit() {
  return (
    <EditPage
      resource="owners"
      heading={(owner) => String(owner['name'])}
      up={() => up}
      then={() => '/owners'}
      archiving="It leaves the lists; its history stays."
      fields={['name', 'contactName', 'email', 'phone']}
    >
      <Fields />
    </EditPage>
  );
}
