import type { Door, DoorDuty, Reading, Site } from '@lintel/contract';
import { formatAbout, formatInstant, formatWhole, palette } from '@lintel/ui';
import { Box, Button } from '@mui/material';
import { Suspense, lazy } from 'react';
import { useGetList } from 'react-admin';
import { Link } from 'react-router';
import { useAnswer } from '../../access/hooks.js';
import { Nothing, Trouble, Waiting } from '../../common/faces.js';
import { listLink } from '../../common/links.js';
import { Panel } from '../../common/Page.js';

const CounterChart = lazy(() => import('../../duty/CounterChart.js'));

/** How hard the door works: its counter so far, the fan of its forecast, the rate in words. */
export function DoorDutyPanel({ door, site }: { door: Door; site: Site }) {
  const { data: duty, error, isPending, refetch } = useAnswer<DoorDuty>(`/doors/${door.id}/duty`, { everyMs: 15_000 });
  const { data: turns = [] } = useGetList<Reading>('readings', {
    filter: { doorId: door.id, verdict: 'used-rollover,used-reset' },
    pagination: { page: 1, perPage: 100 },
    sort: { field: 'at', order: 'DESC' },
  });
  return (
    <Panel
      title="Cycles"
      note="Lifetime cycles at the readings, and where they are likely to go"
      actions={
        <Button size="small" variant="outlined" component={Link} to={listLink('readings', { doorId: door.id })}>
          Its readings
        </Button>
      }
    >
      {error && !duty ? (
        <Trouble error={error} again={() => void refetch()} />
      ) : isPending || !duty ? (
        <Waiting what="the counter’s history" />
      ) : duty.history.length === 0 && duty.forecast.length === 0 ? (
        <Nothing title="No reading yet">Record the first one: a single reading already gives this door a duty of its own.</Nothing>
      ) : (
        <>
          <Suspense fallback={<Waiting what="the chart" />}>
            <CounterChart duty={duty} turns={turns.map(({ at, verdict }) => ({ at, verdict }))} timeZone={site.timeZone} />
          </Suspense>
          <Words duty={duty} timeZone={site.timeZone} />
        </>
      )}
    </Panel>
  );
}

const horizons = [30, 90, 180, 365];

/** What the chart shows, in words and figures, for those who would rather read. */
function Words({ duty: { model, forecast, setAside }, timeZone }: { duty: DoorDuty; timeZone: string }) {
  if (!model) return <Box sx={{ color: palette.slate }}>The forecast appears as soon as the first projection has run.</Box>;
  const { cyclesPerDay: rate } = model;
  const ahead = horizons.flatMap((days) => forecast.find((point) => point.daysAhead === days) ?? []);
  return (
    <Box sx={{ marginTop: 1, display: 'grid', gap: 0.5 }}>
      <Box>
        <strong>About {formatAbout(rate.p50)} cycles a day</strong> (four chances in five between {formatAbout(rate.p10)} and {formatAbout(rate.p90)}), from{' '}
        {formatWhole(model.readings)} used readings
        {model.lastReadingAt === null ? '' : `, the last of ${formatInstant(model.lastReadingAt, timeZone)}`}
        {setAside.length > 0 ? `; ${setAside.length} set aside` : ''}.
        {model.changedAt === null ? '' : ` The rate changed abruptly around ${formatInstant(model.changedAt, timeZone)}.`}
      </Box>
      {ahead.length > 0 ? (
        <Box component="ul" sx={{ margin: 0, paddingLeft: 2.5, color: palette.inkSoft, columns: { md: 2 } }}>
          {ahead.map((point) => (
            <li key={point.daysAhead}>
              in {point.daysAhead} days about {formatAbout(point.p50)} ({formatAbout(point.p10)} to {formatAbout(point.p90)})
            </li>
          ))}
        </Box>
      ) : null}
    </Box>
  );
}
