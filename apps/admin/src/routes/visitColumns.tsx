import type { PublishedVisit } from '@lintel/contract';
import { SafetyMark, formatInstant } from '@lintel/ui';
import { Box } from '@mui/material';
import type { Column } from '../common/RecordTable.js';
import { itemKindWords } from './routeWords.js';

const endOf = ({ leaveAt, timeZone }: PublishedVisit): string => new Intl.DateTimeFormat('en-GB', { hour: '2-digit', minute: '2-digit', timeZone }).format(new Date(leaveAt));

/** A published visit, by the clock at its site. */
export const visitColumns: readonly Column<PublishedVisit>[] = [
  { key: 'when', label: 'When', sort: 'startAt', cell: (visit) => `${formatInstant(visit.startAt, visit.timeZone)}–${endOf(visit)}` },
  { key: 'site', label: 'Site', sort: 'siteName', cell: ({ siteName }) => siteName },
  { key: 'work', label: 'Work', cell: ({ items }) => <Work items={items} /> },
  { key: 'who', label: 'Technician', wide: true, cell: ({ technicianName }) => technicianName ?? 'your service company' },
  { key: 'state', label: 'State', wide: true, cell: ({ startedAt }) => (startedAt === null ? 'announced' : `begun ${formatInstant(startedAt)}`) },
];

function Work({ items }: Pick<PublishedVisit, 'items'>) {
  const doors = [...new Set(items.map(({ doorName }) => doorName))];
  return (
    <>
      {items.some(({ kind }) => kind === 'safety') ? <SafetyMark /> : null}
      <Box sx={{ color: 'text.secondary' }}>
        {doors.map((door) => `${door}: ${items.filter(({ doorName }) => doorName === door).map(({ kind, title }) => title || itemKindWords[kind]).join(', ')}`).join('; ')}
      </Box>
    </>
  );
}
