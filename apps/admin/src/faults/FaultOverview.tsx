import type { FaultSummary } from '@lintel/contract';
import { formatAbout, formatChance, formatDate, palette } from '@lintel/ui';
import { Box } from '@mui/material';
import { useListContext } from 'react-admin';
import { useAnswer } from '../access/hooks.js';
import { query } from '../access/http.js';
import { Trouble, Waiting } from '../common/faces.js';
import { Columns, Stack } from '../common/Page.js';
import { CoursePanel } from './CoursePanel.js';
import { figures, rateWords } from './faultWords.js';
import { ParetoPanel } from './ParetoPanel.js';
import { RepeatsPanel } from './RepeatsPanel.js';
import { TrendPanel } from './TrendPanel.js';

const summaryFilters = ['ownerId', 'siteId', 'doorTypeId', 'doorId', 'faultCodeId', 'kind', 'atFrom'];
const poolFilters = ['ownerId', 'siteId', 'doorTypeId'];

const only = (values: Record<string, unknown>, fields: readonly string[]): string =>
  query(Object.fromEntries(fields.map((field) => [field, values[field]])));

/** The faults that the filters leave, summed up; trends and course are of the doors alone, whatever the code and the time. */
export function FaultOverview() {
  const { filterValues } = useListContext();
  const pool = only(filterValues, poolFilters);
  const { data, error, isPending, refetch } = useAnswer<FaultSummary>(`/faults/summary${only(filterValues, summaryFilters)}`);
  if (error && !data) return <Box sx={{ marginBottom: 2 }}><Trouble error={error} again={() => void refetch()} /></Box>;
  if (isPending || !data) return <Waiting what="the summary" />;
  return (
    <Box sx={{ marginBottom: 2 }}>
      <Stack>
        <Figures summary={data} />
        <Columns widths="minmax(0, 1.15fr) minmax(0, 1fr)">
          <ParetoPanel summary={data} />
          <TrendPanel pool={pool} />
        </Columns>
        <Columns widths="minmax(0, 1.15fr) minmax(0, 1fr)">
          <CoursePanel pool={pool} />
          <RepeatsPanel repeats={data.repeats} />
        </Columns>
      </Stack>
    </Box>
  );
}

function Figures({ summary }: { summary: FaultSummary }) {
  const { faults, doors, doorsWithFaults, rate, cycles, repeats, from, to } = summary;
  const lines = [
    { big: formatAbout(faults), small: `faults, ${formatDate(from)} to ${formatDate(to)}` },
    { big: `${doorsWithFaults} of ${doors}`, small: 'doors reported one' },
    { big: rate === null ? '–' : figures(rate.per1000), small: rate === null ? 'no cycles known' : `per 1,000 cycles: ${rateWords(rate)}, over ${formatAbout(cycles)} cycles` },
    { big: repeats.judged === 0 ? '–' : formatChance(repeats.share), small: `of ${repeats.judged} repairs: back within ${repeats.withinDays} days` },
  ];
  return (
    <Box sx={{ display: 'grid', gap: '1px', gridTemplateColumns: { xs: '1fr 1fr', md: 'repeat(4, 1fr)' }, background: palette.line, border: `1px solid ${palette.line}`, borderRadius: '3px' }}>
      {lines.map(({ big, small }) => (
        <Box key={small} sx={{ background: palette.paper, padding: '10px 16px' }}>
          <Box sx={{ fontSize: '1.5rem', fontWeight: 700, lineHeight: 1.2 }}>{big}</Box>
          <Box sx={{ color: palette.slate, fontSize: '0.88rem' }}>{small}</Box>
        </Box>
      ))}
    </Box>
  );
}
