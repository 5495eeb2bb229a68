import type { Absence, Technician, VanStock } from '@lintel/contract';
import { formatDateRange } from '@lintel/ui';
import { AutocompleteInput, DateInput, NumberInput, ReferenceInput, TextInput, required } from 'react-admin';
import { etagOf, givenFields } from '../access/dataProvider.js';
import { useApi } from '../access/hooks.js';
import { ActionDialog } from '../common/ActionDialog.js';

interface OfTechnician {
  technician: Technician;
  onClose: () => void;
}

export function AbsenceDialog({ technician, onClose }: OfTechnician) {
  const api = useApi();
  const submit = (values: Record<string, unknown>) => api.send('POST', '/absences', { technicianId: technician.id, ...givenFields(values) });
  return (
    <ActionDialog title={`Absence of ${technician.name}`} open onClose={onClose} submit={submit} submitWord="Add it" done="Added; plans made from now on heed it.">
      <DateInput source="fromOn" label="First day" validate={required()} helperText={false} />
      <DateInput source="toOn" label="Last day" validate={required()} helperText={false} />
      <TextInput source="note" label="Note" helperText="Seen by the whole staff" />
    </ActionDialog>
  );
}

export function EndDialog({ absence, onClose }: { absence: Absence; onClose: () => void }) {
  const api = useApi();
  const submit = () => api.send('DELETE', `/absences/${absence.id}`, undefined, etagOf(absence.version));
  return (
    <ActionDialog title="Take the absence back" open onClose={onClose} submit={submit} submitWord="Take it back" done="Taken back.">
      {absence.technicianName} can be planned again: {formatDateRange(absence.fromOn, absence.toOn)}.
    </ActionDialog>
  );
}

export function StockDialog({ technician, onClose }: OfTechnician) {
  const api = useApi();
  const submit = (values: Record<string, unknown>) => api.send('POST', '/van-stock', { technicianId: technician.id, ...values });
  return (
    <ActionDialog title={`A part in the van of ${technician.name}`} open onClose={onClose} submit={submit} submitWord="Add it" done="Added.">
      <ReferenceInput source="partId" reference="stock-parts" filter={{ archived: 'false' }} sort={{ field: 'code', order: 'ASC' }} perPage={50}>
        <AutocompleteInput label="Part" optionText={({ code, name }: { code?: string; name?: string }) => `${code ?? ''} ${name ?? ''}`} filterToQuery={(text: string) => ({ q: text })} validate={required()} helperText={false} />
      </ReferenceInput>
      <NumberInput source="quantity" label="Quantity" min={0} step={1} validate={required()} helperText={false} />
    </ActionDialog>
  );
}

export function CountDialog({ stock, onClose }: { stock: VanStock; onClose: () => void }) {
  const api = useApi();
  const submit = ({ quantity }: Record<string, unknown>) => api.send('PATCH', `/van-stock/${stock.id}`, { quantity }, etagOf(stock.version));
  return (
    <ActionDialog title={`${stock.code} ${stock.partName} in the van of ${stock.technicianName}`} open onClose={onClose} submit={submit} submitWord="Counted" done="Counted." defaults={{ quantity: stock.quantity }}>
      <NumberInput source="quantity" label="Quantity found" min={0} step={1} validate={required()} helperText={false} />
    </ActionDialog>
  );
}
