import type { PlanRoute, StockPart, VanLoad } from '@lintel/contract';
import { partKindWords } from '@lintel/ui';
import { Box } from '@mui/material';
import { NumberInput, SelectInput, useGetList } from 'react-admin';
import { useApi } from '../access/hooks.js';
import { ActionDialog } from '../common/ActionDialog.js';
import { Trouble, Waiting } from '../common/faces.js';
import { dayWords } from '../work/week.js';

interface Line {
  kind: StockPart['kind'];
  missing: number;
  /** Parts of the kind, those of which the store has most first. */
  parts: StockPart[];
}

/** Takes what a van lacks for a day from the company's store, in one load. */
export function FillVanDialog({ route, onClose }: { route: PlanRoute; onClose: () => void }) {
  const short = route.carry.filter(({ missing }) => missing > 0);
  const { data, error, isPending, refetch } = useGetList<StockPart>('stock-parts', {
    filter: { kind: short.map(({ kind }) => kind), archived: 'false' }, pagination: { page: 1, perPage: 100 }, sort: { field: 'inStore', order: 'DESC' },
  });
  if (error) return <Trouble error={error} again={() => void refetch()} />;
  if (isPending) return <Waiting what="the store" />;
  return <Filling route={route} onClose={onClose} lines={short.map(({ kind, missing }) => ({ kind, missing, parts: data.filter((part) => part.kind === kind) }))} />;
}

function Filling({ route, onClose, lines }: { route: PlanRoute; onClose: () => void; lines: readonly Line[] }) {
  const api = useApi();
  const submit = (values: Record<string, unknown>) => {
    const parts = lines.flatMap(({ kind }): VanLoad['parts'] => {
      const { partId, quantity } = (values[kind] ?? {}) as { partId?: string; quantity?: number };
      return partId && quantity ? [{ partId, quantity }] : [];
    });
    if (parts.length === 0) throw new Error('Nothing is to be loaded: give a quantity, or leave it.');
    return api.send('POST', '/van-loads', { technicianId: route.technicianId, parts });
  };
  const defaults = Object.fromEntries(lines.map(({ kind, missing, parts }) => [kind, { partId: parts[0]?.id, quantity: Math.min(missing, parts[0]?.inStore ?? 0) }]));
  return (
    <ActionDialog title={`Fill the van of ${route.technicianName}`} open wide onClose={onClose} submit={async (values) => submit(values)} submitWord="Load it" done="Loaded: what is missing is counted anew." defaults={defaults}>
      <Box sx={{ marginBottom: 1 }}>For {dayWords(route.onDate)}, from the company’s store. What the store lacks has to be ordered, or set on the page Stock once it is there.</Box>
      {lines.map((line) => <FillLine key={line.kind} line={line} />)}
    </ActionDialog>
  );
}

function FillLine({ line: { kind, missing, parts } }: { line: Line }) {
  const word = partKindWords[kind];
  if (parts.length === 0) return <Box sx={{ padding: '6px 0' }}><b>{word}</b>: {missing} missing, and no part of this kind is kept in stock.</Box>;
  const choices = parts.map(({ id, code, name, inStore }) => ({ id, name: `${code} ${name} (${inStore} in the store)` }));
  return (
    <Box sx={{ display: 'grid', gap: '0 12px', gridTemplateColumns: { xs: '1fr', sm: 'minmax(0, 3fr) minmax(0, 1fr)' } }}>
      <SelectInput source={`${kind}.partId`} label={`${word}: ${missing} missing`} choices={choices} helperText={false} />
      <NumberInput source={`${kind}.quantity`} label="Quantity" min={0} step={1} helperText={false} />
    </Box>
  );
}
