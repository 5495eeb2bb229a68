import type { WeekShift } from '@lintel/contract';
import { ArrayInput, AutocompleteInput, NumberInput, ReferenceInput, SelectInput, SimpleFormIterator, TextArrayInput, TextInput, required } from 'react-admin';
import { CreatePage, EditPage } from '../common/RecordForm.js';
import { weekdayWords } from './routeWords.js';

const up = { to: '/technicians', word: 'Technicians' };
const fields = ['homeLatitude', 'homeLongitude', 'timeZone', 'skills', 'shifts', 'vanLoadKg'];
const weekdays = weekdayWords.map((name, index) => ({ id: index + 1, name }));
const usual: WeekShift[] = [1, 2, 3, 4, 5].map((weekday) => ({ weekday, from: '07:00', to: '16:00' }));

/** An emptied list is a list without entries. */
const tidy = (values: Record<string, unknown>) => ({ ...values, ...('skills' in values ? { skills: values['skills'] ?? [] } : {}), ...('shifts' in values ? { shifts: values['shifts'] ?? [] } : {}) });

function Fields() {
  return (
    <>
      <NumberInput source="homeLatitude" label="Home, latitude" min={-90} max={90} step="any" validate={required()} helperText="Degrees; north is positive. Routes begin and end there" />
      <NumberInput source="homeLongitude" label="Home, longitude" min={-180} max={180} step="any" validate={required()} helperText="Degrees; east is positive" />
      <TextInput source="timeZone" label="Time zone" validate={required()} helperText="IANA name, e.g. Europe/Oslo; the hours below go by its clock" />
      <TextArrayInput source="skills" label="Skills" helperText="As the tasks of the maintenance plans name them; Enter after each" />
      <NumberInput source="vanLoadKg" label="The van carries, kg" min={0} max={10000} step={1} helperText="Left empty: no limit" />
      <ArrayInput source="shifts" label="Hours by weekday">
        <SimpleFormIterator inline disableReordering>
          <SelectInput source="weekday" label="Weekday" choices={weekdays} validate={required()} helperText={false} />
          <TextInput source="from" label="From" placeholder="07:00" validate={required()} helperText={false} />
          <TextInput source="to" label="To" placeholder="16:00" validate={required()} helperText={false} />
        </SimpleFormIterator>
      </ArrayInput>
    </>
  );
}

export function TechnicianCreate() {
  return (
    <CreatePage resource="technicians" heading="Add a technician’s profile" up={up} then={(_resource, id) => `/technicians/${id}/show`} defaults={{ shifts: usual }} tidy={tidy}>
      <ReferenceInput source="accountId" reference="people" filter={{ active: 'true', role: 'technician' }} sort={{ field: 'name', order: 'ASC' }} perPage={50}>
        <AutocompleteInput label="Account" optionText="name" filterToQuery={(text: string) => ({ q: text })} validate={required()} helperText="A technician who has no profile yet" />
      </ReferenceInput>
      <Fields />
    </CreatePage>
  );
}

export function TechnicianEdit() {
  return (
    <EditPage
      resource="technicians" heading={(technician) => `Change ${String(technician['name'])}`} up={({ id, name }) => ({ to: `/technicians/${id}/show`, word: String(name) })}
      then={(_resource, id) => `/technicians/${id}/show`} archiving="No new plan sends this technician anywhere; plans that are made stay as they are." fields={fields} tidy={tidy}
    >
      <Fields />
    </EditPage>
  );
}
