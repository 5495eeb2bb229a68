import { gaugeFields } from '@lintel/contract';
import { NumberInput, SelectInput, TextInput, required } from 'react-admin';
import { useWatch } from 'react-hook-form';
import { NoteInput } from '../common/inputs.js';
import { CreatePage, EditPage } from '../common/RecordForm.js';
import { choicesOf } from '../common/words.js';
import { gaugeFieldWords, instrumentKindWords } from './instrumentWords.js';

const list = { to: '/instruments', word: 'Instruments' };

/** Figures that another kind must not have are not sent, whatever was typed before the kind was changed. */
function tidy(values: Record<string, unknown>): Record<string, unknown> {
  if (values['kind'] === undefined || values['kind'] === 'force-gauge') return values;
  return Object.fromEntries(Object.entries(values).filter(([field]) => !(gaugeFields as readonly string[]).includes(field)));
}

function Fields() {
  const kind = useWatch({ name: 'kind' }) as string | undefined;
  return (
    <>
      <TextInput source="maker" label="Maker" />
      <TextInput source="model" label="Model" />
      <TextInput source="serial" label="Serial" />
      {kind === 'force-gauge'
        ? gaugeFields.map((field) => (
            <NumberInput key={field} source={field} label={gaugeFieldWords[field]} min={0} step="any" helperText={false} validate={required()} />
          ))
        : null}
      <NoteInput />
    </>
  );
}

export function InstrumentCreate() {
  return (
    <CreatePage resource="instruments" heading="Add an instrument" up={list} then={(_resource, id) => `/instruments/${id}/show`} tidy={tidy}>
      <TextInput source="name" label="Name" helperText="What people call it" validate={required()} />
      <SelectInput source="kind" label="Kind" choices={choicesOf(instrumentKindWords)} helperText="It cannot be changed later" validate={required()} />
      <Fields />
    </CreatePage>
  );
}

export function InstrumentEdit() {
  return (
    <EditPage
      resource="instruments"
      heading={(instrument) => `Change ${String(instrument['name'])}`}
      up={(instrument) => ({ to: `/instruments/${instrument.id}/show`, word: String(instrument['name']) })}
      then={(_resource, id) => `/instruments/${id}/show`}
      archiving="It is retired: no calibration is taken for it and no test offers it any more; its history stays."
      fields={['name', 'maker', 'model', 'serial', 'note', ...gaugeFields]}
    >
      <TextInput source="name" label="Name" validate={required()} />
      <Fields />
    </EditPage>
  );
}
