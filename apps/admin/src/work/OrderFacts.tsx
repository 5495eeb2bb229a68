import type { WorkOrderRow } from '@lintel/contract';
import { OutcomeMark, SafetyMark, count, formatDate, formatInstant, palette } from '@lintel/ui';
import { Box } from '@mui/material';

/** The planned day, with the hour where one is set; a day that has passed says so. */
export function PlannedDay({ order }: { order: WorkOrderRow }) {
  if (order.plannedOn === null) return <Box component="span" sx={{ color: palette.slate }}>no day yet</Box>;
  const hour = order.plannedStart ? `, ${formatInstant(order.plannedStart, order.timeZone).split(', ').at(-1)}` : '';
  return (
    <Box component="span" sx={order.overdue ? { color: palette.signalDeep, fontWeight: 700 } : {}}>
      {formatDate(order.plannedOn)}
      {hour}
      {order.overdue ? ', day has passed' : ''}
    </Box>
  );
}

export function Technician({ order }: { order: WorkOrderRow }) {
  if (order.technicianId === null) return <Box component="span" sx={{ color: palette.slate }}>nobody yet</Box>;
  // An owner does not see the company's people.
  return <>{order.technicianName ?? 'assigned'}</>;
}

/** How far it is, and what asks for a look: contradictions, findings, the result. */
export function Progress({ order }: { order: WorkOrderRow }) {
  return (
    <Box sx={{ display: 'flex', flexWrap: 'wrap', gap: '0 12px', alignItems: 'center' }}>
      {order.passed === null ? null : <OutcomeMark outcome={order.passed ? 'passed' : 'failed'} word={order.passed ? 'passed' : 'not passed'} />}
      {order.state === 'started' ? <span>{order.answeredCount} of {count(order.stepCount, 'step')}</span> : null}
      {order.findingCount > 0 ? <span>{count(order.findingCount, 'finding')}</span> : null}
      {order.conflictCount > 0 ? (
        <Box component="span" sx={{ color: palette.signalDeep, fontWeight: 700 }}>{order.conflictCount} to settle</Box>
      ) : null}
    </Box>
  );
}

/** The kind of work; safety work with its shield. */
export function KindMark({ kind, word }: { kind: WorkOrderRow['kind']; word: string }) {
  return kind === 'inspection' || kind === 'commissioning' ? <SafetyMark word={word.toLowerCase()} /> : <span>{word.toLowerCase()}</span>;
}
