import type { Outlook } from '@lintel/contract';
import { WeekBars, formatInstant } from '@lintel/ui';
import type { WeekLoad } from '@lintel/ui';
import { Box } from '@mui/material';
import { useNavigate } from 'react-router';
import { useAnswer, useMay } from '../access/hooks.js';
import { Nothing, Trouble, Waiting } from '../common/faces.js';
import { Columns, PageHead, Panel, Stack } from '../common/Page.js';
import { listLink } from '../common/links.js';
import { DoorsAtRisk, OutOfService } from './DoorLines.js';
import { OverdueSafety } from './OverdueSafety.js';
import { Totals } from './Totals.js';

const everyMs = 60_000;

/** What must be acted on, overdue safety inspections first; then the weeks ahead, doors at risk, doors out of service. */
export function OutlookPage() {
  const { data, error, isPending, refetch } = useAnswer<Outlook>('/outlook', { everyMs });
  if (error && !data) return <Frame><Trouble error={error} again={() => void refetch()} /></Frame>;
  if (isPending || !data) return <Frame><Waiting what="the outlook" /></Frame>;
  return (
    <Frame projectedTo={data.projectedTo}>
      <Stack>
        <OverdueSafety items={data.overdueSafety} total={data.totals.overdueSafety} today={data.today} doors={data.totals.doors} />
        <Totals totals={data.totals} />
        <Weeks weeks={data.weeks} projected={data.projectedTo !== null} />
        <Columns widths="1.25fr 1fr">
          <DoorsAtRisk doors={data.doorsAtRisk} />
          <OutOfService doors={data.doorsOutOfService} />
        </Columns>
      </Stack>
    </Frame>
  );
}

function Frame({ children, projectedTo = null }: { children: React.ReactNode; projectedTo?: string | null }) {
  return (
    <>
      <PageHead title="Outlook" facts={projectedTo ? <span>Last computed {formatInstant(projectedTo)}</span> : null} />
      {children}
    </>
  );
}

function Weeks({ weeks, projected }: { weeks: Outlook['weeks']; projected: boolean }) {
  const navigate = useNavigate();
  const mayList = useMay('read', 'due-items');
  const empty = weeks.every((week) => week.safety + week.maintenance + week.overdueOther === 0);
  const choose = (week: WeekLoad) => void navigate(listLink('due-items', { dueOnFrom: week.from, dueOnTo: week.to }));
  return (
    <Panel title="The weeks ahead" note="What falls due, by week">
      {empty ? (
        <Nothing title={projected ? 'Nothing falls due in the next twelve weeks' : 'Nothing has been computed yet'}>
          {projected ? 'No task of any maintenance plan comes due in that time.' : 'The first dates appear as soon as the first projection has run.'}
        </Nothing>
      ) : (
        <Box sx={{ marginTop: 0.5 }}>
          <WeekBars weeks={weeks} {...(mayList ? { onChoose: choose } : {})} />
        </Box>
      )}
    </Panel>
  );
}
