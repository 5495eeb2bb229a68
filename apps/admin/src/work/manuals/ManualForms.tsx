import { TextInput, required } from 'react-admin';
import { useSearchParams } from 'react-router';
import { RecordInput } from '../../common/inputs.js';
import { CreatePage, EditPage } from '../../common/RecordForm.js';

const up = { to: '/manuals', word: 'Manuals' };
const then = () => '/manuals';

function Fields() {
  return (
    <>
      <TextInput source="title" label="Title" validate={required()} />
      <TextInput source="source" label="Where it comes from" validate={required()} helperText="Maker’s manual with its edition, or own experience" />
      <TextInput source="body" label="Text" multiline minRows={12} validate={required()} helperText="Plain text; a blank line begins a new paragraph" />
    </>
  );
}

export function ManualCreate() {
  const [parameters] = useSearchParams();
  const doorTypeId = parameters.get('doorTypeId');
  return (
    <CreatePage resource="manuals" heading="Add a text" up={up} then={then} defaults={doorTypeId ? { doorTypeId } : {}}>
      <RecordInput source="doorTypeId" resource="door-types" label="For doors of type" needed filter={{ archived: 'false' }} />
      <Fields />
    </CreatePage>
  );
}

export function ManualEdit() {
  return (
    <EditPage
      resource="manuals"
      heading={(manual) => String(manual['title'])}
      up={() => up}
      then={then}
      archiving="Technicians no longer see it."
      fields={['title', 'body', 'source']}
    >
      <Fields />
    </EditPage>
  );
}
