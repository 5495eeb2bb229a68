import type { RoutePlanDetail, Technician } from '@lintel/contract';
import { count, formatDateRange, formatMoney, palette } from '@lintel/ui';
import { Box } from '@mui/material';
import { useCallback, useMemo, useState } from 'react';
import { useGetList } from 'react-admin';
import { useParams } from 'react-router';
import { useAnswer, useMay } from '../access/hooks.js';
import { Trouble, Waiting } from '../common/faces.js';
import { PageHead, Stack } from '../common/Page.js';
import { addDays } from '../work/week.js';
import { DifferencePanel } from './DifferencePanel.js';
import { lanesOf } from './lanes.js';
import { PlanBoard } from './PlanBoard.js';
import { PlanDeeds } from './PlanDeeds.js';
import { PlanFailed, PlanProgress } from './PlanProgress.js';
import { PlanStateMark } from './PlanStateMark.js';
import { PlanViewContext } from './planView.js';
import type { PlanView } from './planView.js';
import { graveNotice, noticeSentence, reasonWords } from './routeWords.js';
import { planPath, useMoving } from './useMoving.js';

/** A route plan: the days of every technician beside their map, what is left out, what it costs, and all that can be done with it. */
export default function RoutePlanPage() {
  const { id = '' } = useParams();
  const [busy, setBusy] = useState(true);
  const { data: plan, error, refetch } = useAnswer<RoutePlanDetail>(planPath(id), { everyMs: busy ? 1000 : false });
  const technicians = useGetList<Technician>('technicians', { pagination: { page: 1, perPage: 100 }, sort: { field: 'name', order: 'ASC' } });
  const people = technicians.data;
  const zoneOf = useCallback((technicianId: string) => people?.find(({ id: one }) => one === technicianId)?.timeZone ?? 'UTC', [people]);
  const making = plan !== undefined && (plan.state === 'waiting' || plan.state === 'solving');
  if (plan && busy !== making) setBusy(making);
  if (error) return <Trouble error={error} again={() => void refetch()} />;
  if (technicians.error) return <Trouble error={technicians.error} again={() => void technicians.refetch()} />;
  if (!plan || !people) return <Waiting what="the plan" />;
  return (
    <>
      <PageHead title={`Routes: ${plan.name}`} up={{ to: '/route-plans', word: 'Route plans' }} facts={<PlanFacts plan={plan} />} actions={<PlanDeeds plan={plan} />} />
      <Stack>
        {plan.state === 'failed' ? <PlanFailed plan={plan} /> : null}
        {making ? <PlanProgress plan={plan} /> : null}
        <Notices plan={plan} />
        {plan.basePlanId !== null && plan.state === 'draft' ? <DifferencePanel plan={plan} zoneOf={zoneOf} /> : null}
        {plan.routes.length > 0 ? <PlanParts key={plan.id} plan={plan} zoneOf={zoneOf} making={making} /> : null}
      </Stack>
    </>
  );
}

function PlanParts({ plan, zoneOf, making }: { plan: RoutePlanDetail; zoneOf: (technicianId: string) => string; making: boolean }) {
  const mayWrite = useMay('write', 'route-plans');
  const [chosenId, choose] = useState<string | null>(null);
  const [pointedId, point] = useState<string | null>(null);
  const [technicianId, setTechnicianId] = useState('');
  const [onDate, setOnDate] = useState('');
  const lanes = useMemo(() => lanesOf(plan, zoneOf), [plan, zoneOf]);
  const mayMove = mayWrite && !making && (plan.state === 'draft' || plan.state === 'accepted');
  const moving = useMoving(plan, lanes, mayMove);
  const visitOf = useMemo(() => new Map(plan.visitList.map((visit) => [visit.id, visit])), [plan]);
  const shown = lanes.filter(({ route }) => (technicianId === '' || route.technicianId === technicianId) && (onDate === '' || route.onDate === onDate));
  const view: PlanView = { plan, lanes, shown: shown.length > 0 ? shown : lanes, visitOf, chosenId, choose, pointedId, point, mayMove, moving };
  return (
    <PlanViewContext value={view}>
      <PlanBoard technicianId={technicianId} setTechnicianId={setTechnicianId} onDate={onDate} setOnDate={setOnDate} />
    </PlanViewContext>
  );
}

function PlanFacts({ plan }: { plan: RoutePlanDetail }) {
  const served = plan.visitList.filter(({ technicianId }) => technicianId !== null).length;
  return (
    <>
      <PlanStateMark state={plan.state} />
      <span>{formatDateRange(plan.fromOn, addDays(plan.fromOn, plan.days - 1))}</span>
      <span>{count(served, 'visit')}</span>
      {plan.cost === null ? null : <span>{formatMoney(plan.cost, plan.currency)}</span>}
      {plan.replanning ? <span>made again: {reasonWords[plan.replanning.reason]}{plan.replanning.note ? ` (${plan.replanning.note})` : ''}</span> : null}
    </>
  );
}

function Notices({ plan }: { plan: RoutePlanDetail }) {
  if (plan.notices.length === 0) return null;
  const notices = [...plan.notices].sort((a, b) => Number(graveNotice(b)) - Number(graveNotice(a)));
  return (
    <Box component="section" aria-label="Notices" sx={{ background: palette.paper, border: `1px solid ${palette.line}`, borderLeft: `5px solid ${notices.some(graveNotice) ? palette.signal : palette.slateSoft}`, borderRadius: '3px', padding: '8px 14px' }}>
      <Box component="ul" sx={{ margin: 0, padding: 0, listStyle: 'none', maxHeight: 132, overflowY: 'auto' }} tabIndex={0} aria-label="Notices of the plan">
        {notices.map((notice, index) => (
          <Box component="li" key={`${notice.code}-${index}`} sx={graveNotice(notice) ? { color: palette.signalDeep, fontWeight: 650 } : {}}>
            {graveNotice(notice) ? '▲ ' : ''}{noticeSentence(notice)}
          </Box>
        ))}
      </Box>
    </Box>
  );
}
