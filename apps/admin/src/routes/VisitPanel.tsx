import type { PlanVisit, RoutePlanDetail, VisitItem } from '@lintel/contract';
import { SafetyMark, formatMinutes, formatMoney, palette, partKindWords } from '@lintel/ui';
import { Box, Button } from '@mui/material';
import { useState } from 'react';
import { useNotify } from 'react-admin';
import { Link } from 'react-router';
import { etagOf } from '../access/dataProvider.js';
import { refusalOf } from '../access/http.js';
import { useApi, useMay } from '../access/hooks.js';
import { doorLink, siteLink } from '../common/links.js';
import { Facts, Panel } from '../common/Page.js';
import { dayWords } from '../work/week.js';
import { clockMinutes, clockWord, laneKey, OUT } from './lanes.js';
import type { Lane } from './lanes.js';
import { allowed, cheapest, laneOfPrice } from './offers.js';
import { usePlanView } from './planView.js';
import { costWords, itemKindWords, joinSentence, overdueSentence, signedMoney, unservedSentence } from './routeWords.js';
import { planPath, useLookAgain, useTakePlan } from './useMoving.js';

/** The visit that is chosen: when, what is done there and why, what it costs, and what can be done with it. */
export function VisitPanel() {
  const { chosenId, visitOf, lanes, plan } = usePlanView();
  const visit = chosenId === null ? undefined : visitOf.get(chosenId);
  if (!visit) {
    return (
      <Panel title="Visit">
        <Box sx={{ color: palette.slate }}>Choose a visit in the time line or on the map to see what is done there and why.</Box>
      </Panel>
    );
  }
  const lane = lanes.find(({ route }) => route.visitIds.includes(visit.id));
  return (
    <Panel title={`Visit: ${visit.siteName}`} actions={<VisitDeeds visit={visit} />}>
      <Facts rows={lane ? whenRows(visit, lane) : [{ term: 'Not served', value: unservedSentence(visit.reason, visit, plan.currency) }]} />
      <Work visit={visit} currency={plan.currency} />
      <Costs visit={visit} currency={plan.currency} />
      <OtherPlaces visit={visit} />
      <Box component={Link} to={siteLink(visit.siteId)} sx={{ color: palette.ice, fontWeight: 600 }}>The site’s page</Box>
    </Panel>
  );
}

function whenRows(visit: PlanVisit, lane: Lane) {
  const stop = lane.stops.find((one) => one.visit.id === visit.id);
  if (!stop) return [];
  const there = visit.startAt === null || visit.timeZone === lane.zone ? null : clockWord(clockMinutes(visit.startAt, lane.route.onDate, visit.timeZone));
  return [
    { term: 'Who and when', value: `${lane.route.technicianName}, ${dayWords(lane.route.onDate)}, ${clockWord(stop.starts)}–${clockWord(stop.leaves)}${there === null || there === clockWord(stop.starts) ? '' : ` (${there} by the clock at the site)`}` },
    { term: 'Before it', value: `travel ${formatMinutes(Math.round(visit.travelMinutes ?? 0))}, ${Math.round(visit.travelKm ?? 0)} km; waiting ${formatMinutes(Math.round(visit.waitingMinutes ?? 0))}` },
    { term: 'Slack', value: `${formatMinutes(Math.round(visit.slackMinutes ?? 0))}: it may begin so much later, with all after it kept` },
    { term: 'Kept', value: visit.startedAt !== null ? 'has begun; stays where it is' : visit.locked ? 'locked; stays where it is when the plan is made again' : 'no: may be moved' },
    ...(visit.skills.length > 0 ? [{ term: 'Skills', value: visit.skills.join(', ') }] : []),
  ];
}

function Work({ visit, currency }: { visit: PlanVisit; currency: string }) {
  return (
    <>
      <Box component="h3" sx={{ margin: '14px 0 4px', fontSize: '0.95rem' }}>Work, and why it joins</Box>
      <Box component="ul" sx={{ margin: 0, padding: 0, listStyle: 'none', display: 'grid', gap: 0.8, maxHeight: 380, overflowY: 'auto' }} tabIndex={0} aria-label="Work of the visit">
        {visit.items.map((item) => <WorkLine key={item.key} item={item} currency={currency} />)}
      </Box>
      {visit.parts.length > 0 ? (
        <Box sx={{ marginTop: 1 }}>Parts: {visit.parts.map(({ kind, quantity }) => `${quantity} × ${partKindWords[kind].toLowerCase()}`).join(', ')}.</Box>
      ) : null}
    </>
  );
}

function WorkLine({ item, currency }: { item: VisitItem; currency: string }) {
  const overdue = overdueSentence(item);
  return (
    <Box component="li" sx={{ borderLeft: `3px solid ${overdue ? palette.signal : palette.line}`, paddingLeft: 1 }}>
      <Box component={Link} to={doorLink(item.doorId)} sx={{ color: palette.ink, fontWeight: 650 }}>{item.doorName}</Box>, {item.title}, {formatMinutes(item.minutes)}{' '}
      {item.kind === 'safety' ? <SafetyMark urgent={overdue !== ''} /> : <Box component="span" sx={{ color: palette.slate }}>{itemKindWords[item.kind].toLowerCase()}</Box>}
      <Box sx={{ color: palette.inkSoft }}>{joinSentence(item, currency)} {overdue ? <Box component="strong" sx={{ color: palette.signalDeep }}>{overdue}</Box> : null}</Box>
    </Box>
  );
}

function Costs({ visit, currency }: { visit: PlanVisit; currency: string }) {
  const rows = (Object.keys(costWords) as (keyof typeof costWords)[]).filter((key) => visit.costs[key] > 0);
  return (
    <>
      <Box component="h3" sx={{ margin: '14px 0 4px', fontSize: '0.95rem' }}>Cost</Box>
      {rows.length === 0 ? 'None.' : <Facts rows={rows.map((key) => ({ term: costWords[key], value: formatMoney(visit.costs[key], currency) }))} />}
    </>
  );
}

function VisitDeeds({ visit }: { visit: PlanVisit }) {
  const { plan, moving, mayMove } = usePlanView();
  const mayWrite = useMay('write', 'route-plans');
  const api = useApi();
  const notify = useNotify();
  const takePlan = useTakePlan();
  const lookAgain = useLookAgain();
  const [busy, setBusy] = useState(false);
  const placed = visit.technicianId !== null;
  if (!mayWrite || !['draft', 'accepted', 'published'].includes(plan.state)) return null;
  const lock = async () => {
    setBusy(true);
    try {
      takePlan(await api.send<RoutePlanDetail>('POST', `${planPath(plan.id)}/visits/${visit.id}/${visit.locked ? 'unlock' : 'lock'}`, undefined, etagOf(plan.version)));
    } catch (error) {
      lookAgain(plan.id, error);
      notify(refusalOf(error).detail, { type: 'error' });
    } finally {
      setBusy(false);
    }
  };
  const out = moving.pricesOf(visit)?.byLane.get(OUT)?.[0];
  return (
    <>
      {placed && visit.startedAt === null ? <Button size="small" variant="outlined" disabled={busy} onClick={() => void lock()}>{visit.locked ? 'Unlock' : 'Lock'}</Button> : null}
      {placed && mayMove && !visit.locked && visit.startedAt === null && out ? (
        <Button size="small" disabled={moving.busy || !allowed(out)} onClick={() => moving.put(visit, out)}>Take it out ({signedMoney(out.difference, plan.currency)})</Button>
      ) : null}
    </>
  );
}

/** The cheapest other days, for those who rather choose than drag. */
function OtherPlaces({ visit }: { visit: PlanVisit }) {
  const { plan, lanes, moving, mayMove } = usePlanView();
  const offers = mayMove && !visit.locked && visit.startedAt === null ? moving.pricesOf(visit) : null;
  if (offers === null) return null;
  const places = cheapest(offers, 5);
  return (
    <>
      <Box component="h3" sx={{ margin: '14px 0 4px', fontSize: '0.95rem' }}>Other places, cheapest first</Box>
      {places.length === 0 ? <Box sx={{ marginBottom: 1 }}>It fits nowhere else in this plan.</Box> : null}
      <Box component="ul" sx={{ margin: '0 0 10px', padding: 0, listStyle: 'none', display: 'grid', gap: 0.4 }}>
        {places.map((price) => {
          const { route } = lanes.find(({ key }) => key === laneOfPrice(price))!;
          const where = `${route.technicianName}, ${dayWords(route.onDate)}, place ${price.position! + 1}`;
          return (
            <Box component="li" key={laneKey(route.technicianId, route.shift)} sx={{ display: 'flex', alignItems: 'center', gap: 1 }}>
              <Box component="span" sx={{ flex: 1 }}>{where}</Box>
              <span>{signedMoney(price.difference, plan.currency)}</span>
              <Button size="small" variant="outlined" disabled={moving.busy} onClick={() => moving.put(visit, price)} aria-label={`Move it to ${where}`}>Move</Button>
            </Box>
          );
        })}
      </Box>
    </>
  );
}
