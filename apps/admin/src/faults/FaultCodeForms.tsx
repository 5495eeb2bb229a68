import { SelectInput, TextInput, required } from 'react-admin';
import { CreatePage, EditPage } from '../common/RecordForm.js';
import { NoteInput } from '../common/inputs.js';
import { choicesOf } from '../common/words.js';
import { faultKindWords } from './faultWords.js';

const up = { to: '/fault-codes', word: 'Fault catalogue' };

function Fields() {
  return (
    <>
      <TextInput source="name" label="What it means" validate={required()} />
      <SelectInput source="kind" label="Kind" choices={choicesOf(faultKindWords)} validate={required()} />
      <NoteInput source="advice" label="Look at first" />
    </>
  );
}

export function FaultCodeCreate() {
  return (
    <CreatePage resource="fault-codes" heading="Add a fault code" up={up} then={() => '/fault-codes'} defaults={{}}>
      <TextInput source="code" label="Code" helperText="As the door shows it; it cannot be changed later" validate={required()} />
      <Fields />
    </CreatePage>
  );
}

export function FaultCodeEdit() {
  return (
    <EditPage
      resource="fault-codes"
      heading={(code) => `Change ${String(code['code'])}`}
      up={() => up}
      then={() => '/fault-codes'}
      archiving="It is no longer offered in forms; what was reported under it stays, and doors may go on reporting it."
      fields={['name', 'kind', 'advice']}
    >
      <Fields />
    </EditPage>
  );
}
