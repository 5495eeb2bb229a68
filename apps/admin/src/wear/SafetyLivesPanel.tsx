import type { Door, SafetyLife, SafetyLives } from '@lintel/contract';
import { SafetyMark, formatAbout, formatDate, palette } from '@lintel/ui';
import { Box } from '@mui/material';
import { useAnswer } from '../access/hooks.js';
import { Trouble } from '../common/faces.js';
import { Panel } from '../common/Page.js';
import { RecordTable } from '../common/RecordTable.js';
import type { Column } from '../common/RecordTable.js';

type Line = SafetyLife & { id: string };

const years = (value: number): string => (value < 10 ? value.toFixed(1) : String(Math.round(value)));

const columns: readonly Column<Line>[] = [
  { key: 'device', label: 'Safety device', cell: (life) => life.positionName },
  {
    key: 'exchange',
    label: 'Exchange by',
    cell: (life) => (life.overdue ? <SafetyMark word={`${formatDate(life.exchangeOn)}, overdue`} urgent /> : formatDate(life.exchangeOn)),
  },
  {
    key: 'why',
    label: 'Why',
    cell: (life) => (
      <Box sx={{ color: palette.inkSoft }}>
        {life.byMissionTime ? 'Its mission time of 20 years ends first. ' : ''}One in ten has failed dangerously after {years(life.tenthYears)} years, at up to{' '}
        {formatAbout(life.operationsPerYear)} operations a year (B10D {formatAbout(life.b10dCycles)})
      </Box>
    ),
  },
  { key: 'mean', label: 'MTTFD', align: 'right', wide: true, cell: (life) => `${years(life.meanYears)} years` },
];

/** When the door's safety devices must be exchanged, by ISO 13849-1; nothing where no device has its maker's figure. */
export function SafetyLivesPanel({ door }: { door: Door }) {
  const { data, error, refetch } = useAnswer<SafetyLives>(`/doors/${door.id}/safety-lives`);
  if (error && !data) return <Trouble error={error} again={() => void refetch()} />;
  if (!data || data.items.length === 0 || door.state === 'decommissioned') return null;
  return (
    <Panel title="Exchange of safety devices" note="By the maker’s B10D and this door’s own operations (ISO 13849-1); the maker’s word and local rules come first" flush>
      <RecordTable<Line> label="When to exchange safety devices" columns={columns} records={data.items.map((life) => ({ ...life, id: life.fittedPartId }))} urgent={(life) => life.overdue} />
    </Panel>
  );
}
