import type { PlanDifference, RoutePlanDetail } from '@lintel/contract';
import { count, formatMinutes, formatMoney, palette } from '@lintel/ui';
import { Box } from '@mui/material';
import type { ReactNode } from 'react';
import { useAnswer } from '../access/hooks.js';
import { Trouble, Waiting } from '../common/faces.js';
import { useToday } from '../common/now.js';
import { Panel } from '../common/Page.js';
import { dayWords } from '../work/week.js';
import { clockMinutes, clockWord } from './lanes.js';
import { itemKindWords, signedMoney } from './routeWords.js';
import { planPath } from './useMoving.js';

type Placed = PlanDifference['added'][number]['after'];

/** What accepting the plan changes against the one that it replaces: shown before anybody accepts it. */
export function DifferencePanel({ plan, zoneOf }: { plan: RoutePlanDetail; zoneOf: (technicianId: string) => string }) {
  const { data, error, isPending, refetch } = useAnswer<PlanDifference>(`${planPath(plan.id)}/difference`);
  const today = useToday();
  if (error) return <Trouble error={error} again={() => void refetch()} />;
  if (isPending) return <Waiting what="the difference" />;
  const { moved, added, dropped, reworked, unchanged, cost } = data;
  const at = ({ technicianId, technicianName, onDate, startAt }: Placed) => `${technicianName ?? 'somebody'}, ${dayWords(onDate)} ${clockWord(clockMinutes(startAt, onDate, zoneOf(technicianId)))}`;
  const price = plan.settings.prices.movedVisit;
  const announced = moved.filter((move) => move.announced && move.otherRoute);
  return (
    <Panel title="What this plan changes" note={`${count(unchanged, 'visit')} unchanged`}>
      <Box sx={{ marginBottom: 1 }}>
        {costSentence(cost, plan.currency, plan.fromOn <= today)}{' '}
        {announced.length > 0 ? `${count(announced.length, 'announced visit')} would go to another technician or day, at ${formatMoney(price, plan.currency)} each.` : 'No announced visit goes to another technician or day.'}
      </Box>
      <Group title="Moved" size={moved.length}>
        {moved.map((move) => (
          <li key={move.visitId}>
            <b>{move.siteName}</b>: {at(move.before)} → {at(move.after)}
            {move.announced && move.otherRoute ? <Box component="span" sx={{ color: palette.signalDeep, fontWeight: 600 }}> announced, {formatMoney(price, plan.currency)}</Box> : null}
            {move.announced && !move.otherRoute ? ' announced, the hour alone' : ''}
          </li>
        ))}
      </Group>
      <Group title="Added" size={added.length}>
        {added.map((visit) => <li key={visit.visitId}><b>{visit.siteName}</b>: {at(visit.after)}</li>)}
      </Group>
      <Group title="Dropped" size={dropped.length}>
        {dropped.map((visit) => <li key={visit.visitId}><b>{visit.siteName}</b>: was {at(visit.before)}{visit.announced ? <Box component="span" sx={{ color: palette.signalDeep, fontWeight: 600 }}> announced</Box> : null}</li>)}
      </Group>
      <Group title="Other work" size={reworked.length}>
        {reworked.map((visit) => <li key={visit.visitId}><b>{visit.siteName}</b>, {at(visit.at)}: {reworkedSentence(visit)}</li>)}
      </Group>
    </Panel>
  );
}

const workOf = (items: PlanDifference['reworked'][number]['gained']): string => items.map(({ doorName, title, kind }) => `${doorName}, ${title || itemKindWords[kind].toLowerCase()}`).join('; ');

/** What a visit has to do now that it had not to do before. */
function reworkedSentence({ gained, lost, minutes }: PlanDifference['reworked'][number]): string {
  const parts = [
    ...(gained.length > 0 ? [`added ${workOf(gained)}`] : []),
    ...(lost.length > 0 ? [`no longer ${workOf(lost)}`] : []),
    minutes === 0 ? 'as long as before' : `${formatMinutes(Math.abs(Math.round(minutes)))} ${minutes > 0 ? 'longer' : 'shorter'}`,
  ];
  return `${parts.join('; ')}.`;
}

/** `begun`: the plan before may have had days that are over and paid for. */
function costSentence({ before, after }: PlanDifference['cost'], currency: string, begun: boolean): string {
  if (before === null || after === null) return '';
  return `It costs ${formatMoney(after, currency)} instead of ${formatMoney(before, currency)} (${signedMoney(after - before, currency)})${begun ? '; the earlier sum may hold days that are over' : ''}.`;
}

function Group({ title, size, children }: { title: string; size: number; children: ReactNode }) {
  return (
    <>
      <Box component="h3" sx={{ margin: '8px 0 2px', fontSize: '0.95rem' }}>{title}: {size === 0 ? 'none' : size}</Box>
      {size > 0 ? <Box component="ul" sx={{ margin: 0, paddingLeft: 2.2, maxHeight: 260, overflowY: 'auto' }} tabIndex={0} aria-label={`Visits ${title.toLowerCase()}`}>{children}</Box> : null}
    </>
  );
}
