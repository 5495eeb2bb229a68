import { shortestPassword } from '@lintel/contract';
import { BooleanInput, PasswordInput, SelectInput, TextInput, minLength, required } from 'react-admin';
import { useFormContext, useWatch } from 'react-hook-form';
import { RecordInput } from '../common/inputs.js';
import { CreatePage, EditPage } from '../common/RecordForm.js';
import { choicesOf, roleWords } from '../common/words.js';

const up = { to: '/accounts', word: 'People' };
const long = minLength(shortestPassword, `At least ${shortestPassword} characters`);

function Fields({ fresh }: { fresh: boolean }) {
  const { setValue } = useFormContext();
  const role = useWatch({ name: 'role' }) as string | undefined;
  return (
    <>
      <TextInput source="name" label="Name" validate={required()} />
      <TextInput source="email" label="E-mail" type="email" validate={required()} />
      <SelectInput
        source="role"
        label="Role"
        choices={choicesOf(roleWords)}
        validate={required()}
        onChange={(event) => {
          // Only an owner's account hangs on an owner; the server refuses any other that does.
          if ('target' in event && (event.target as HTMLInputElement).value !== 'owner') setValue('ownerId', null, { shouldDirty: true });
        }}
      />
      {role === 'owner' ? <RecordInput source="ownerId" resource="owners" label="Sees the sites of" needed filter={{ archived: 'false' }} /> : null}
      <PasswordInput
        source="password"
        label={fresh ? 'Password' : 'New password'}
        autoComplete="new-password"
        helperText={fresh ? `At least ${shortestPassword} characters` : 'Left empty: stays as it is'}
        validate={fresh ? [required(), long] : long}
      />
      {fresh ? null : <BooleanInput source="active" label="May sign in" />}
    </>
  );
}

export function AccountCreate() {
  return (
    <CreatePage resource="accounts" heading="Add a person" up={up} then={() => '/accounts'}>
      <Fields fresh />
    </CreatePage>
  );
}

export function AccountEdit() {
  return (
    <EditPage resource="accounts" heading={(account) => String(account['name'])} up={() => up} then={() => '/accounts'} fields={['name', 'email', 'role', 'ownerId', 'password', 'active']}>
      <Fields fresh={false} />
    </EditPage>
  );
}
