import type { FindingRow } from '@lintel/contract';
import { OutcomeMark, SeverityMark, count, formatInstant, palette, severityWords } from '@lintel/ui';
import { Alert, Box, Button } from '@mui/material';
import { useGetList, useListContext } from 'react-admin';
import { Link } from 'react-router';
import type { FilterWord } from '../common/Filters.js';
import { ListPage } from '../common/ListPage.js';
import type { Column } from '../common/RecordTable.js';
import { choicesOf } from '../common/words.js';
import { orderLink } from '../work/orderWords.js';

const columns: readonly Column<FindingRow>[] = [
  {
    key: 'text',
    label: 'What was seen',
    cell: ({ text, positionName }) => (
      <Box component="span" sx={{ overflowWrap: 'anywhere', display: '-webkit-box', WebkitLineClamp: 3, WebkitBoxOrient: 'vertical', overflow: 'hidden' }}>
        {positionName ? `${positionName}: ` : ''}
        {text}
      </Box>
    ),
  },
  { key: 'severity', label: 'How bad', sort: 'severity', cell: ({ severity }) => <SeverityMark severity={severity} /> },
  { key: 'door', label: 'Door', sort: 'doorName', cell: ({ doorName }) => doorName },
  { key: 'site', label: 'Site', sort: 'siteName', cell: ({ siteName }) => siteName },
  { key: 'found', label: 'Found', sort: 'foundAt', cell: ({ foundAt }) => formatInstant(foundAt) },
  { key: 'state', label: 'State', cell: ({ open }) => (open ? 'open' : <OutcomeMark outcome="passed" word="put right" />) },
  {
    key: 'corrective',
    label: 'Put right by',
    wide: true,
    cell: ({ correctiveId, correctiveNumber }) => (correctiveId && correctiveNumber ? <Link to={orderLink(correctiveId)}>No. {correctiveNumber}</Link> : 'no order yet'),
  },
];

const filters: readonly FilterWord[] = [
  { kind: 'text', field: 'q', label: 'What, door or site' },
  { kind: 'choice', field: 'severity', label: 'How bad', choices: choicesOf(severityWords) },
  {
    kind: 'choice',
    field: 'open',
    label: 'State',
    all: 'Open and put right',
    choices: [
      { id: 'true', name: 'Open' },
      { id: 'false', name: 'Put right' },
    ],
  },
  { kind: 'record', field: 'siteId', label: 'Site', resource: 'sites' },
  { kind: 'record', field: 'doorId', label: 'Door', resource: 'doors', narrowedBy: 'siteId' },
];

/** Everything that was seen wrong on doors, the open ones first in sight, the worst of them at the top. */
export default function FindingList() {
  return (
    <ListPage<FindingRow>
      title="Findings"
      resource="findings"
      columns={columns}
      filters={filters}
      filterDefaults={{ open: 'true' }}
      above={<UnsafeBand />}
      sort={{ field: 'severity', order: 'DESC' }}
      urgent={({ severity, open }) => severity === 'unsafe' && open}
      href={({ id }) => `/findings/${id}/show`}
      empty={{ title: 'No findings', text: 'What is seen wrong on a door, during an inspection or at its page, stands here until it is put right.' }}
    />
  );
}

/** Open unsafe findings are named whatever the list is filtered by. */
function UnsafeBand() {
  const { setFilters } = useListContext();
  const { total = 0 } = useGetList<FindingRow>('findings', {
    filter: { severity: 'unsafe', open: 'true' },
    pagination: { page: 1, perPage: 1 },
    sort: { field: 'foundAt', order: 'DESC' },
    meta: { count: true },
  });
  if (total === 0) return null;
  return (
    <Alert
      severity="error"
      sx={{ marginBottom: 1.2, border: `1px solid ${palette.signal}` }}
      action={
        <Button color="inherit" onClick={() => setFilters({ severity: 'unsafe', open: 'true' })}>
          Show {total === 1 ? 'it' : 'them'}
        </Button>
      }
    >
      {count(total, 'unsafe finding')} {total === 1 ? 'is' : 'are'} open. Such a door stays out of service until a further order has tested it again and passed.
    </Alert>
  );
}
