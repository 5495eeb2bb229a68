import type { StockPart, Technician, VanStock } from '@lintel/contract';
import { Box } from '@mui/material';
import { AutocompleteInput, NumberInput, ReferenceInput, required } from 'react-admin';
import { etagOf } from '../access/dataProvider.js';
import { useApi } from '../access/hooks.js';
import { ActionDialog } from '../common/ActionDialog.js';

export function StockDialog({ technician, onClose }: { technician: Technician; onClose: () => void }) {
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

/** How many were found in the company's store. */
export function StoreDialog({ part, onClose }: { part: StockPart; onClose: () => void }) {
  const api = useApi();
  const submit = ({ inStore }: Record<string, unknown>) => api.send('PATCH', `/stock-parts/${part.id}`, { inStore }, etagOf(part.version));
  return (
    <ActionDialog title={`${part.code} ${part.name} in the store`} open onClose={onClose} submit={submit} submitWord="Set it" done="Set." defaults={{ inStore: part.inStore }}>
      <NumberInput source="inStore" label="Quantity in the store" min={0} max={10_000} step={1} validate={required()} helperText="As counted, or after a delivery" />
    </ActionDialog>
  );
}

/** Takes some of a part from the store into a van. */
export function LoadDialog({ part, onClose }: { part: StockPart; onClose: () => void }) {
  const api = useApi();
  const submit = ({ technicianId, quantity }: Record<string, unknown>) => api.send('POST', '/van-loads', { technicianId, parts: [{ partId: part.id, quantity }] });
  return (
    <ActionDialog title={`${part.code} ${part.name} into a van`} open onClose={onClose} submit={submit} submitWord="Load it" done="Loaded.">
      <Box sx={{ marginBottom: 1 }}>{part.inStore} in the store. A negative number goes from the van back into the store.</Box>
      <ReferenceInput source="technicianId" reference="technicians" filter={{ archived: 'false' }} sort={{ field: 'name', order: 'ASC' }} perPage={50}>
        <AutocompleteInput label="Van of" optionText="name" filterToQuery={(text: string) => ({ q: text })} validate={required()} helperText={false} />
      </ReferenceInput>
      <NumberInput source="quantity" label="Quantity" max={part.inStore} step={1} validate={required()} helperText={false} />
    </ActionDialog>
  );
}
