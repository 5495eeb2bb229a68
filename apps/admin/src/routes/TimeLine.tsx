import { palette } from '@lintel/ui';
import { Box } from '@mui/material';
import { useEffect, useRef } from 'react';
import type { RefObject } from 'react';
import { dayWords } from '../work/week.js';
import { axisOf, clockWord, keysId, shareOf } from './lanes.js';
import type { Lane, Scale } from './lanes.js';
import { bestOf, allowed, laneOfPrice } from './offers.js';
import { usePlanView } from './planView.js';
import { signedMoney } from './routeWords.js';
import { segmentStyles, TimeLineLegend } from './segments.js';
import type { SegmentKind } from './segments.js';
import { StopButton } from './StopButton.js';
import { usePointerMove } from './usePointerMove.js';

/** On a phone the price of a day wraps under it. */
const labelWidth = { xs: '92px', sm: '158px' };

/** The plan by technician and day, on the clock of each technician's home. */
export function TimeLine() {
  const view = usePlanView();
  const { shown, moving } = view;
  const scale = axisOf(shown);
  const root = useRef<HTMLDivElement | null>(null);
  const startPointer = usePointerMove(view, scale);
  useFocusAfterDrop(root, moving.held?.visit.id ?? null);
  const technicians = [...new Set(shown.map(({ route }) => route.technicianId))];
  return (
    <Box ref={root}>
      <TimeLineLegend />
      <p id={keysId} hidden>
        Enter or space takes the visit up; left and right choose the place, up and down the day, with shift the technician, delete takes it out; enter drops it, escape leaves it where it was.
      </p>
      <Box sx={{ overflowX: 'auto', paddingBottom: 0.5 }}>
        <Box sx={{ minWidth: 600 }}>
          <HourRow scale={scale} />
          {technicians.map((technicianId) => (
            <TechnicianLanes key={technicianId} lanes={shown.filter(({ route }) => route.technicianId === technicianId)} scale={scale} startPointer={startPointer} />
          ))}
        </Box>
      </Box>
    </Box>
  );
}

/** A visit that was put down elsewhere is drawn anew there: whoever moved it by keys goes on from it. */
function useFocusAfterDrop(root: RefObject<HTMLDivElement | null>, heldId: string | null) {
  const last = useRef<string | null>(null);
  useEffect(() => {
    if (heldId !== null) last.current = heldId;
  }, [heldId]);
  useEffect(() => {
    if (heldId !== null || last.current === null || document.activeElement !== document.body) return;
    root.current?.querySelector<HTMLElement>(`[data-visit="${last.current}"]`)?.focus();
    last.current = null;
  });
}

function HourRow({ scale }: { scale: Scale }) {
  const hours = Array.from({ length: (scale.to - scale.from) / 60 + 1 }, (_, index) => scale.from + index * 60);
  const every = hours.length > 14 ? 3 : 2;
  return (
    <Box aria-hidden="true" sx={{ position: 'relative', height: 18, marginLeft: labelWidth, marginRight: '14px', color: palette.slate, fontSize: '0.78rem' }}>
      {hours.map((hour, index) => (index % every === 0 ? (
        <Box component="span" key={hour} sx={{ position: 'absolute', left: `${shareOf(hour, scale)}%`, transform: index === 0 ? 'none' : index === hours.length - 1 ? 'translateX(-100%)' : 'translateX(-50%)' }}>
          {clockWord(hour % 1440)}
        </Box>
      ) : null))}
    </Box>
  );
}

interface LaneProps {
  lane: Lane;
  scale: Scale;
  startPointer: ReturnType<typeof usePointerMove>;
}

function TechnicianLanes({ lanes, scale, startPointer }: { lanes: readonly Lane[] } & Omit<LaneProps, 'lane'>) {
  const { route, zone } = lanes[0]!;
  const visits = lanes.reduce((sum, { stops }) => sum + stops.length, 0);
  return (
    <Box component="section" aria-label={`Days of ${route.technicianName}`} sx={{ marginBottom: 1.2 }}>
      <Box component="h3" sx={{ margin: '6px 0 3px', fontSize: '0.95rem', display: 'flex', gap: 1.2, alignItems: 'baseline', flexWrap: 'wrap' }}>
        {route.technicianName}
        <Box component="span" sx={{ fontWeight: 450, color: palette.slate, fontSize: '0.82rem' }}>{visits === 0 ? 'no visit' : `${visits} ${visits === 1 ? 'visit' : 'visits'}`}, clock of {zone.replaceAll('_', ' ')}</Box>
      </Box>
      <Box component="ul" sx={{ listStyle: 'none', margin: 0, padding: 0, borderTop: `1px solid ${palette.line}` }}>
        {lanes.map((lane) => <LaneRow key={lane.key} lane={lane} scale={scale} startPointer={startPointer} />)}
      </Box>
    </Box>
  );
}

function LaneRow({ lane, scale, startPointer }: LaneProps) {
  const { moving } = usePlanView();
  const { held } = moving;
  const height = lane.stops.length > 0 ? 42 : 22;
  const target = held !== null && laneOfPrice(held.at) === lane.key;
  return (
    <Box component="li" data-lane={lane.key} sx={{ display: 'flex', borderBottom: `1px solid ${palette.line}`, background: target ? palette.iceSoft : 'transparent' }}>
      <Box sx={{ width: labelWidth, flex: 'none', fontSize: '0.85rem', lineHeight: 1.25, paddingInline: '2px 8px', alignSelf: 'center', display: 'flex', flexWrap: { xs: 'wrap', sm: 'nowrap' }, justifyContent: 'space-between', columnGap: '4px', whiteSpace: 'nowrap' }}>
        <Box component="span" sx={{ color: lane.stops.length > 0 ? palette.ink : palette.slate, fontWeight: lane.stops.length > 0 ? 600 : 450 }}>{dayWords(lane.route.onDate)}</Box>
        {held ? <LaneOffer lane={lane} /> : null}
      </Box>
      <Box data-track sx={{ position: 'relative', flex: 1, height, background: palette.frostDeep, marginRight: '14px' }}>
        <Box aria-hidden="true" sx={{ position: 'absolute', top: 0, bottom: 0, left: `${shareOf(lane.from, scale)}%`, width: `${shareOf(lane.to, scale) - shareOf(lane.from, scale)}%`, background: palette.paper, borderInline: `1px solid ${palette.line}` }} />
        <Segments lane={lane} scale={scale} />
        {lane.stops.map((stop) => <StopButton key={stop.visit.id} stop={stop} scale={scale} startPointer={startPointer} />)}
        {target ? <Insertion lane={lane} scale={scale} /> : null}
      </Box>
    </Box>
  );
}

/** The best price of a lane for the visit in the hand. */
function LaneOffer({ lane }: { lane: Lane }) {
  const { moving: { held }, plan } = usePlanView();
  const best = bestOf(held?.offers.byLane.get(lane.key) ?? []);
  if (!best) return null;
  const fits = allowed(best);
  return (
    <Box component="span" sx={{ fontSize: '0.78rem', color: fits ? palette.ink : palette.signalDeep }}>
      {fits ? signedMoney(best.difference, plan.currency) : '✕ not here'}
    </Box>
  );
}

function Segments({ lane, scale }: Omit<LaneProps, 'startPointer'>) {
  const { chosenId, pointedId } = usePlanView();
  const last = lane.stops.at(-1);
  // Slack of earlier stops lies over the later ones: it is drawn while one looks at them.
  const looked = lane.stops.find(({ visit }) => visit.id === (pointedId ?? chosenId)) ?? last;
  const parts: { kind: SegmentKind; from: number; to: number; key: string }[] = lane.stops.flatMap((stop) => [
    { kind: 'travel' as const, from: stop.departs, to: stop.arrives, key: `${stop.visit.id}-travel` },
    { kind: 'waiting' as const, from: stop.arrives, to: stop.starts, key: `${stop.visit.id}-waiting` },
  ]);
  if (looked) parts.push({ kind: 'slack', from: looked.leaves, to: looked.leaves + looked.slackTo - looked.starts, key: 'slack' });
  if (last && lane.home !== null) parts.push({ kind: 'travel', from: last.leaves, to: lane.home, key: 'home' });
  return parts.filter(({ from, to }) => to - from >= 1).map(({ kind, from, to, key }) => (
    <Box key={key} aria-hidden="true" sx={{ position: 'absolute', left: `${shareOf(from, scale)}%`, width: `${Math.min(100, shareOf(to, scale)) - shareOf(from, scale)}%`, ...segmentStyles[kind], zIndex: kind === 'slack' ? 2 : 0 }} />
  ));
}

/** Where in the lane the visit in the hand would go. */
function Insertion({ lane, scale }: Omit<LaneProps, 'startPointer'>) {
  const { held } = usePlanView().moving;
  if (!held) return null;
  const others = lane.stops.filter(({ visit }) => visit.id !== held.visit.id);
  const position = held.at.position ?? 0;
  const before = others[position - 1];
  const at = before ? before.leaves : Math.max(lane.from, (others[0]?.departs ?? lane.from) - 4);
  const fits = allowed(held.at);
  return (
    <Box aria-hidden="true" sx={{ position: 'absolute', zIndex: 3, top: -3, bottom: -3, left: `calc(${shareOf(at, scale)}% - 2px)`, width: 4, background: fits ? palette.ink : palette.signal }}>
      <Box sx={{ position: 'absolute', top: -6, left: -5, width: 14, height: 7, background: fits ? palette.ink : palette.signal, clipPath: 'polygon(0 0, 100% 0, 50% 100%)' }} />
    </Box>
  );
}
