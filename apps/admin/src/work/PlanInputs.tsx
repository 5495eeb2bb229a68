import { AutocompleteInput, DateInput, ReferenceInput } from 'react-admin';

/** Who is to do it; those who carry orders out come first to mind, but a planner may send anybody of the company. */
export function TechnicianInput() {
  return (
    <ReferenceInput source="technicianId" reference="people" filter={{ active: 'true', role: 'technician' }} sort={{ field: 'name', order: 'ASC' }} perPage={50}>
      <AutocompleteInput label="Technician" optionText="name" filterToQuery={(text: string) => ({ q: text })} helperText={false} />
    </ReferenceInput>
  );
}

export function DayInput() {
  return <DateInput source="plannedOn" label="Day" helperText="In the calendar of the site" />;
}
