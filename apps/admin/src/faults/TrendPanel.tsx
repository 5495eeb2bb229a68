import type { FaultTrends } from '@lintel/contract';
import { formatDate, palette } from '@lintel/ui';
import { Box, Button } from '@mui/material';
import { useState } from 'react';
import { useAnswer } from '../access/hooks.js';
import { Nothing, Trouble, WaitingRows } from '../common/faces.js';
import { doorLink } from '../common/links.js';
import { Panel } from '../common/Page.js';
import { RecordTable } from '../common/RecordTable.js';
import type { Column } from '../common/RecordTable.js';
import { TrendMark } from './faultWords.js';

type Line = FaultTrends['doors'][number] & { id: string };

const columns: readonly Column<Line>[] = [
  { key: 'door', label: 'Door', cell: (line) => line.doorName },
  { key: 'site', label: 'Site', cell: (line) => line.siteName },
  { key: 'trend', label: 'Which way', cell: (line) => <TrendMark verdict={line.trend.verdict} /> },
  {
    key: 'events',
    label: 'Faults',
    align: 'right',
    cell: (line) => (
      <>
        {line.trend.events}
        {line.trend.watchedFrom === null ? null : <Box component="span" sx={{ color: palette.slate, fontSize: '0.85rem' }}> since {formatDate(line.trend.watchedFrom)}</Box>}
      </>
    ),
  },
];

const shownAtFirst = 9;

/** Which way each door goes that has enough faults to tell, getting worse first. */
export function TrendPanel({ pool }: { pool: string }) {
  const { data, error, isPending, refetch } = useAnswer<FaultTrends>(`/faults/trends${pool}`);
  const [all, setAll] = useState(false);
  const lines = (data?.doors ?? []).map((door) => ({ ...door, id: door.doorId }));
  const worse = lines.filter(({ trend }) => trend.verdict === 'worse').length;
  return (
    <Panel title="Doors getting worse" note={data ? `${worse === 0 ? 'none' : worse} of ${lines.length} with enough faults to tell` : undefined} flush>
      {error && !data ? (
        <Box sx={{ padding: 2 }}><Trouble error={error} again={() => void refetch()} /></Box>
      ) : isPending ? (
        <WaitingRows rows={5} />
      ) : lines.length === 0 ? (
        <Nothing title="Too little to say">No door has four faults yet; fewer show no trend.</Nothing>
      ) : (
        <>
          <RecordTable label="Doors getting worse" columns={columns} records={all ? lines : lines.slice(0, shownAtFirst)} href={(line) => doorLink(line.doorId)} urgent={(line) => line.trend.verdict === 'worse'} />
          {lines.length > shownAtFirst ? (
            <Button onClick={() => setAll(!all)} sx={{ margin: '4px 8px' }}>
              {all ? 'Show fewer' : `Show ${lines.length - shownAtFirst} more`}
            </Button>
          ) : null}
          {data && data.leftOut > 0 ? <Box sx={{ padding: '0 16px 10px', color: palette.slate }}>{data.leftOut} further doors with fewer faults are left out: narrow the list by site or door type.</Box> : null}
        </>
      )}
    </Panel>
  );
}
