import type { Door, DoorFaults, Site } from '@lintel/contract';
import { palette } from '@lintel/ui';
import { Box, Button } from '@mui/material';
import { Suspense, lazy, useState } from 'react';
import { Link } from 'react-router';
import { useAnswer, useMay } from '../access/hooks.js';
import { Nothing, Trouble, Waiting } from '../common/faces.js';
import { listLink } from '../common/links.js';
import { Panel } from '../common/Page.js';
import { TrendMark, trendSentence } from './faultWords.js';
import { RecordFaultDialog } from './RecordFaultDialog.js';

const TimelineChart = lazy(() => import('./TimelineChart.js'));

/** What the door reported, over its counter, and which way it goes. */
export function DoorFaultsPanel({ door, site }: { door: Door; site: Site }) {
  const { data, error, isPending, refetch } = useAnswer<DoorFaults>(`/doors/${door.id}/faults`);
  const records = useMay('write', 'faults') && door.state !== 'decommissioned';
  const [recording, setRecording] = useState(false);
  const close = () => {
    setRecording(false);
    void refetch();
  };
  return (
    <Panel
      title="Faults"
      note={data ? <TrendMark verdict={data.trend.verdict} /> : undefined}
      actions={
        <>
          {records ? (
            <Button size="small" variant="outlined" onClick={() => setRecording(true)}>
              Record a fault
            </Button>
          ) : null}
          <Button size="small" variant="outlined" component={Link} to={listLink('faults', { doorId: door.id })}>
            Its faults
          </Button>
        </>
      }
    >
      {error && !data ? (
        <Trouble error={error} again={() => void refetch()} />
      ) : isPending || !data ? (
        <Waiting what="the door’s faults" />
      ) : data.faults.length === 0 ? (
        <Nothing title="No fault recorded">What this door reports shows here over its counter, with the parts changed since.</Nothing>
      ) : (
        <>
          <Box sx={{ marginBottom: 1, ...(data.trend.verdict === 'worse' ? { color: palette.signalDeep, fontWeight: 650 } : {}) }}>
            {trendSentence(data.trend)}
          </Box>
          <Suspense fallback={<Waiting what="the chart" />}>
            <TimelineChart faults={data} timeZone={site.timeZone} fileName={`faults-of-${door.name}`} />
          </Suspense>
          {data.leftOut > 0 ? <Box sx={{ color: palette.slate }}>{data.leftOut} older faults are left out of the picture.</Box> : null}
        </>
      )}
      {recording ? <RecordFaultDialog door={door} onClose={close} /> : null}
    </Panel>
  );
}
