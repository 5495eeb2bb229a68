import type { ForceLimitsInUse } from '@lintel/contract';
import { loosenedLimit } from '@lintel/engine';
import type { ForceLimitChange, ForceLimitId, ForceLimitRow, ForceLimitTable } from '@lintel/engine';
import { SourceMark, formatDate, formatInstant, palette } from '@lintel/ui';
import { Alert, Box, Button } from '@mui/material';
import { Link } from 'react-router';
import { useAnswer, useMay } from '../access/hooks.js';
import { Nothing, Trouble, Waiting } from '../common/faces.js';
import { PageHead, Panel, Stack } from '../common/Page.js';
import { RecordTable } from '../common/RecordTable.js';
import type { Column } from '../common/RecordTable.js';
import { useDialog } from '../common/useDialog.js';
import { ChangeLimitDialog } from './ChangeLimitDialog.js';
import { LooserMark } from './LooserMark.js';
import { boundWords, limitGroups, limitValue, limitWord } from './limitWords.js';

type Row = ForceLimitRow & { id: ForceLimitId };
type Change = ForceLimitChange & { id: number; unit: ForceLimitRow['unit'] };

/** The force limits in use: every row with where it comes from and how well it is known, and every change of one. */
export default function ForceLimitsPage() {
  const { data, error, isPending, refetch } = useAnswer<ForceLimitsInUse>('/force-limits');
  if (error && !data) return <Trouble error={error} again={() => void refetch()} />;
  if (isPending || !data) return <Waiting what="the force limits" />;
  const { table, madeAt, accountName } = data;
  return (
    <>
      <PageHead
        title="Force limits"
        facts={
          <>
            <span>{table.name}, version {table.version}</span>
            <span>{madeAt === null ? 'as the program came with them' : `changed ${formatInstant(madeAt)}${accountName ? ` by ${accountName}` : ''}`}</span>
          </>
        }
        actions={
          <Button component={Link} to="/device-checks" variant="outlined">
            Checks of devices
          </Button>
        }
      />
      <Stack>
        <Alert severity="warning" icon={false}>
          None of these values was read in the standard itself: confirm each against the standard and your local rules before you rely on it. Work
          orders keep the limits that they were released with.
        </Alert>
        <Groups table={table as ForceLimitTable} />
        <History table={table as ForceLimitTable} />
      </Stack>
    </>
  );
}

function Groups({ table }: { table: ForceLimitTable }) {
  const mayChange = useMay('write', 'force-limits');
  const { subject, open, close } = useDialog<Row>();
  return (
    <>
      {limitGroups.map(({ title, note, rows }) => (
        <Panel key={title} title={title} note={note} flush>
          <RecordTable<Row>
            label={title}
            columns={columns(table)}
            records={(Object.keys(rows) as ForceLimitId[]).map((id) => ({ id, ...table.rows[id] }))}
            urgent={({ id }) => loosenedLimit(table, id) !== undefined}
            renderDeeds={
              mayChange
                ? (row) => (
                    <Button size="small" onClick={() => open(row)} aria-label={`Change: ${limitWord(row.id)}`}>
                      Change
                    </Button>
                  )
                : undefined
            }
          />
        </Panel>
      ))}
      {subject ? <ChangeLimitDialog row={subject} version={table.version} onClose={close} /> : null}
    </>
  );
}

function columns(table: ForceLimitTable): Column<Row>[] {
  return [
    { key: 'limit', label: 'Limit', cell: ({ id }) => limitWord(id) },
    {
      key: 'value',
      label: 'Value',
      cell: ({ id, value, unit, bound }) => (
        <>
          <Box component="span" sx={{ color: palette.slate }}>{boundWords[bound]}</Box> <Box component="strong" sx={{ whiteSpace: 'nowrap' }}>{limitValue(value, unit)}</Box>
          <Loosened table={table} id={id} />
        </>
      ),
    },
    { key: 'status', label: 'How well known', cell: ({ status }) => <SourceMark status={status} /> },
    { key: 'source', label: 'Source', wide: true, cell: ({ source }) => <Box sx={{ color: palette.inkSoft, fontSize: '0.88rem' }}>{source}</Box> },
  ];
}

function Loosened({ table, id }: { table: ForceLimitTable; id: ForceLimitId }) {
  const looser = loosenedLimit(table, id);
  if (!looser) return null;
  const { first, last } = looser;
  return (
    <Box sx={{ color: palette.signalDeep }}>
      <LooserMark word={`looser than ${limitValue(first, table.rows[id].unit)}`} /> ‘{last.reason}’, {last.by}, {formatDate(last.on)}
    </Box>
  );
}

const changeColumns: readonly Column<Change>[] = [
  { key: 'limit', label: 'Limit', cell: ({ row }) => limitWord(row) },
  { key: 'values', label: 'From, to', cell: ({ from, to, unit }) => `${limitValue(from, unit)} → ${limitValue(to, unit)}` },
  { key: 'way', label: 'Which way', cell: ({ loosened }) => (loosened ? <LooserMark word="loosened" /> : 'tightened') },
  { key: 'reason', label: 'Reason', cell: ({ reason }) => reason },
  { key: 'by', label: 'By', cell: ({ by }) => by },
  { key: 'on', label: 'On', cell: ({ on }) => formatDate(on) },
];

function History({ table }: { table: ForceLimitTable }) {
  const changes = table.changes.map((change, index): Change => ({ ...change, id: index + 2, unit: table.rows[change.row].unit })).toReversed();
  return (
    <Panel title="Changes" note="The newest first; each made a version, none can be deleted" flush>
      {changes.length === 0 ? (
        <Nothing title="Nothing was changed yet">Every limit is as the program came with it.</Nothing>
      ) : (
        <RecordTable<Change> label="Changes of the limits" columns={changeColumns} records={changes} urgent={({ loosened }) => loosened} />
      )}
    </Panel>
  );
}
