import { logBookDefect, logBookKind, logBookText, logBookWords } from '@lintel/contract';
import type { LogBook, LogBookEntry, LogBookKind } from '@lintel/contract';
import { SafetyMark, formatDate, formatWhole, palette } from '@lintel/ui';
import { Alert, Box, Button, MenuItem, TextField } from '@mui/material';
import { useState } from 'react';
import { useParams } from 'react-router';
import { useAnswer } from '../access/hooks.js';
import { Nothing, Trouble, Waiting } from '../common/faces.js';
import { doorLink } from '../common/links.js';
import { Facts, PageHead, Panel, Stack } from '../common/Page.js';
import { RecordTable } from '../common/RecordTable.js';
import type { Column } from '../common/RecordTable.js';
import { kindWords } from '../common/words.js';

/** An entry as a row of the table, which wants an id. */
interface Line extends LogBookEntry {
  id: string;
}

const isUrgent = (entry: LogBookEntry): boolean => entry.passed === false || entry.severity === 'unsafe' || entry.kind === 'overdue';

const columns: readonly Column<Line>[] = [
  { key: 'on', label: 'Day', cell: ({ on }) => <Box component="span" sx={{ whiteSpace: 'nowrap' }}>{formatDate(on)}</Box> },
  { key: 'kind', label: 'Kind', cell: ({ kind }) => <Box component="span" sx={{ whiteSpace: 'nowrap' }}>{logBookWords[kind]}</Box> },
  { key: 'what', label: 'What', cell: (entry) => <What entry={entry} /> },
  { key: 'defect', label: 'Defect and remedy', cell: (entry) => <Long text={logBookDefect(entry) || '–'} /> },
  { key: 'cycles', label: 'Cycles', align: 'right', wide: true, cell: ({ cycles }) => (cycles === null ? '–' : formatWhole(cycles)) },
  { key: 'person', label: 'Person', cell: ({ person }) => person !== null ? <Box component="span" sx={{ whiteSpace: { sm: 'nowrap' } }}>{person}</Box> : <Box component="span" sx={{ color: palette.slate }}>not recorded</Box> },
  { key: 'order', label: 'Order', align: 'right', wide: true, cell: ({ orderNumber }) => orderNumber ?? '–' },
];

function Long({ text }: { text: string }) {
  return <Box sx={{ overflowWrap: 'anywhere', maxWidth: '70ch' }}>{text}</Box>;
}

function What({ entry }: { entry: LogBookEntry }) {
  return (
    <>
      {isUrgent(entry) ? <SafetyMark word={entry.severity === 'unsafe' ? 'unsafe' : entry.kind === 'overdue' ? 'overdue' : 'not passed'} urgent /> : null}
      <Long text={logBookText(entry)} />
    </>
  );
}

/** The log book of a door: what it is and all that was done to it; to be printed or taken along as a file. */
export default function LogBookPage() {
  const { id = '' } = useParams();
  const { data, error, isPending, refetch } = useAnswer<LogBook>(`/doors/${id}/log-book`);
  if (error && !data) return <Trouble error={error} again={() => void refetch()} />;
  if (isPending || !data) return <Waiting what="the log book" />;
  const { door } = data;
  return (
    <>
      <PageHead
        title={`Log book of door ${door.name}`}
        up={{ to: doorLink(door.id), word: `Door ${door.name}` }}
        facts={<span>{door.siteName}, {door.ownerName}; kept by {data.companyName}</span>}
        actions={<Files doorId={door.id} />}
      />
      <Stack>
        {data.leftOut > 0 ? <Alert severity="warning" icon={false}>{data.leftOut} older entries are left out here and in print. The CSV file has them all.</Alert> : null}
        <Entries entries={data.entries} />
        <Panel title="The door">
          <Facts rows={facts(data)} />
        </Panel>
        <Box sx={{ color: palette.slate, maxWidth: '90ch' }}>
          Its contents follow EN 12635 as far as they are kept here. Papers from before belong beside it. Days are those at the site ({door.timeZone}).
        </Box>
      </Stack>
    </>
  );
}

function Files({ doorId }: { doorId: string }) {
  const address = `/api/v1/doors/${doorId}/log-book`;
  return (
    <>
      <Button variant="contained" href={`${address}.pdf`} download>
        Print (PDF)
      </Button>
      <Button variant="outlined" href={`${address}.csv`} download>
        Table (CSV)
      </Button>
    </>
  );
}

const everything = 'all';

/** Newest first: what was done last is what people come for; the files go from the first day on. */
function Entries({ entries }: { entries: readonly LogBookEntry[] }) {
  const [kind, setKind] = useState<LogBookKind | typeof everything>(everything);
  const shown = entries.filter((entry) => kind === everything || entry.kind === kind).map((entry) => ({ ...entry, id: entry.key })).toReversed();
  const there = logBookKind.options.filter((option) => entries.some((entry) => entry.kind === option));
  return (
    <Panel
      title="Entries"
      note={`${shown.length} of ${entries.length}, newest first`}
      flush
      actions={
        <TextField select size="small" label="Show" value={kind} onChange={(event) => setKind(event.target.value as typeof kind)} fullWidth={false} sx={{ width: 210, marginBlock: '4px' }}>
          <MenuItem value={everything}>All kinds</MenuItem>
          {there.map((option) => (
            <MenuItem key={option} value={option}>
              {logBookWords[option]}
            </MenuItem>
          ))}
        </TextField>
      }
    >
      {shown.length === 0 ? <Nothing title="Nothing recorded yet">Inspections, maintenance, repairs and changed parts stand here once they are recorded.</Nothing>
        : <RecordTable<Line> label="Entries of the log book" columns={columns} records={shown} urgent={isUrgent} />}
    </Panel>
  );
}

function facts({ door, address, countryCode, supplyVolts, doorTypeNotes, fitted }: LogBook) {
  const devices = fitted.filter(({ safetyDevice }) => safetyDevice).map(({ position }) => position);
  return [
    { term: 'Place', value: [door.siteName, address, countryCode].filter(Boolean).join(', ') },
    { term: 'Serial', value: door.serial ?? 'not given' },
    { term: 'Maker', value: door.maker ?? 'not given: see the door’s plate' },
    { term: 'Installed by', value: door.installer ?? 'not given: see the door’s papers' },
    { term: 'Type', value: `${door.doorTypeName} (${kindWords[door.kind].toLowerCase()}${door.heated ? ', heated frame' : ''})` },
    { term: 'Clear size', value: `${door.widthMm} × ${door.heightMm} mm` },
    { term: 'Supply of the drive', value: `${supplyVolts} V` },
    { term: 'Installed', value: formatDate(door.installedOn) },
    { term: 'Safety devices', value: devices.length === 0 ? 'none noted' : devices.join(', ') },
    ...(door.notes ? [{ term: 'Notes on the door', value: door.notes }] : []),
    ...(doorTypeNotes ? [{ term: 'Notes on the type', value: doorTypeNotes }] : []),
  ];
}
