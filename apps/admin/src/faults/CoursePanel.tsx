import type { FaultCourse } from '@lintel/contract';
import { count, formatWhole, palette } from '@lintel/ui';
import { Box } from '@mui/material';
import { Suspense, lazy } from 'react';
import { useAnswer } from '../access/hooks.js';
import { Nothing, Trouble, Waiting } from '../common/faces.js';
import { Panel } from '../common/Page.js';
import { TrendMark } from './faultWords.js';

const CourseChart = lazy(() => import('./CourseChart.js'));

/** How many faults a door has had on the mean by each day that it was watched. */
export function CoursePanel({ pool }: { pool: string }) {
  const { data, error, isPending, refetch } = useAnswer<FaultCourse>(`/faults/course${pool}`);
  return (
    <Panel title="Faults of a door as time goes on" note={data && data.steps.length > 0 ? <TrendMark verdict={data.trend.verdict} /> : undefined}>
      {error && !data ? (
        <Trouble error={error} again={() => void refetch()} />
      ) : isPending || !data ? (
        <Waiting what="the course of faults" />
      ) : data.steps.length === 0 ? (
        <Nothing title="Too little to say">It begins with the second fault at a site.</Nothing>
      ) : (
        <>
          <Suspense fallback={<Waiting what="the chart" />}>
            <CourseChart course={data} />
          </Suspense>
          <Box sx={{ color: palette.inkSoft }}>
            {formatWhole(data.faults)} faults of {count(data.doors, 'door')}, all codes, each watched from the first fault recorded at its site
            on. A line that bends upwards means that faults come more and more often.
          </Box>
        </>
      )}
    </Panel>
  );
}
