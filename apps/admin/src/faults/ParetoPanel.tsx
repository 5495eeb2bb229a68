import type { FaultSummary } from '@lintel/contract';
import { MenuItem, TextField } from '@mui/material';
import { Suspense, lazy, useState } from 'react';
import { Nothing, Waiting } from '../common/faces.js';
import { Panel } from '../common/Page.js';
import { faultKindWords } from './faultWords.js';
import type { ParetoBarShown } from './ParetoChart.js';

const ParetoChart = lazy(() => import('./ParetoChart.js'));

const groupings = {
  code: { word: 'by code', of: (summary: FaultSummary) => summary.byCode.map((bar) => ({ ...bar, key: bar.faultCodeId, label: `${bar.code} ${bar.codeName}` })) },
  kind: { word: 'by kind', of: (summary: FaultSummary) => summary.byKind.map((bar) => ({ ...bar, key: bar.kind, label: faultKindWords[bar.kind] })) },
  site: { word: 'by site', of: (summary: FaultSummary) => summary.bySite.map((bar) => ({ ...bar, key: bar.siteId, label: bar.siteName })) },
  doorType: { word: 'by door type', of: (summary: FaultSummary) => summary.byDoorType.map((bar) => ({ ...bar, key: bar.doorTypeId, label: bar.doorTypeName })) },
  door: { word: 'by door', of: (summary: FaultSummary) => summary.byDoor.map((bar) => ({ ...bar, key: bar.doorId, label: `${bar.doorName}, ${bar.siteName}` })) },
} as const;
type Grouping = keyof typeof groupings;

/** More bars than these say nothing new. */
const mostBars = 12;

/** What comes most: bars by size, and the share that they make up together. */
export function ParetoPanel({ summary }: { summary: FaultSummary }) {
  const [grouping, setGrouping] = useState<Grouping>('code');
  const all: readonly ParetoBarShown[] = groupings[grouping].of(summary);
  const bars = all.slice(0, mostBars);
  return (
    <Panel
      title="What comes most"
      note={all.length > mostBars ? `the first ${mostBars} of ${all.length}` : undefined}
      actions={
        <TextField select size="small" label="Grouped" value={grouping} onChange={(event) => setGrouping(event.target.value as Grouping)} sx={{ width: 150 }} margin="none">
          {(Object.keys(groupings) as Grouping[]).map((key) => (
            <MenuItem key={key} value={key}>
              {groupings[key].word}
            </MenuItem>
          ))}
        </TextField>
      }
    >
      {bars.length === 0 ? (
        <Nothing title="No fault in this time" />
      ) : (
        <Suspense fallback={<Waiting what="the chart" />}>
          <ParetoChart bars={bars} grouped={groupings[grouping].word} fileName={`faults-${groupings[grouping].word.replaceAll(' ', '-')}`} />
        </Suspense>
      )}
    </Panel>
  );
}
