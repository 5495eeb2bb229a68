import { BooleanInput, NumberInput, SelectInput, TextInput, required } from 'react-admin';
import { LengthInput, NoteInput } from '../../common/inputs.js';
import { CreatePage, EditPage } from '../../common/RecordForm.js';
import { choicesOf, kindWords } from '../../common/words.js';

const typePage = (id: unknown) => `/door-types/${String(id)}/show`;

function Fields() {
  return (
    <>
      <TextInput source="name" label="Name" validate={required()} />
      <SelectInput source="kind" label="Kind" choices={choicesOf(kindWords)} validate={required()} />
      <NumberInput source="supplyVolts" label="Supply, volts" min={12} max={1000} step={1} validate={required()} />
      <BooleanInput source="heated" label="The frame is heated" />
      <LengthInput source="widthMm" units="metric" label="Usual clear width" validate={required()} />
      <LengthInput source="heightMm" units="metric" label="Usual clear height" validate={required()} />
      <NumberInput source="minCycleSeconds" label="Shortest time of one full cycle, seconds" step={0.1} min={0.5} validate={required()} helperText="Open, hold, close; no counter can run faster" />
      <NoteInput source="notes" label="Notes" />
    </>
  );
}

export function DoorTypeCreate() {
  return (
    <CreatePage resource="door-types" heading="Add a door type" up={{ to: '/door-types', word: 'Door types' }} then={(_resource, id) => typePage(id)} defaults={{ heated: false }}>
      <Fields />
    </CreatePage>
  );
}

export function DoorTypeEdit() {
  return (
    <EditPage
      resource="door-types"
      heading={(type) => `Change ${String(type['name'])}`}
      up={(type) => ({ to: typePage(type.id), word: String(type['name']) })}
      then={(_resource, id) => typePage(id)}
      archiving="No new door can be of it; doors that are keep it."
      fields={['name', 'kind', 'supplyVolts', 'heated', 'widthMm', 'heightMm', 'minCycleSeconds', 'notes']}
    >
      <Fields />
    </EditPage>
  );
}
