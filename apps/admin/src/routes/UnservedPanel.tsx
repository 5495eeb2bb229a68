import type { PlanVisit } from '@lintel/contract';
import { count, formatMinutes, formatMoney, palette } from '@lintel/ui';
import { Box } from '@mui/material';
import type { KeyboardEvent, PointerEvent } from 'react';
import { Panel } from '../common/Page.js';
import { heldKey } from './heldKey.js';
import { axisOf, keysId, OUT } from './lanes.js';
import { allowed, laneOfPrice } from './offers.js';
import { usePlanView } from './planView.js';
import { signedMoney, unservedSentence } from './routeWords.js';
import { usePointerMove } from './usePointerMove.js';

/** What the plan leaves out, each with the reason as a sentence; a visit can be dragged from here into a day, and here out of one. */
export function UnservedPanel() {
  const view = usePlanView();
  const { plan, moving: { held } } = view;
  const visits = plan.visitList.filter(({ technicianId }) => technicianId === null);
  const startPointer = usePointerMove(view, axisOf(view.shown));
  const out = held?.offers.byLane.get(OUT)?.[0];
  const target = held !== null && laneOfPrice(held.at) === OUT;
  return (
    <Panel title="Not served" note={visits.length === 0 ? 'Everything is in the plan' : `${count(visits.length, 'visit')} left out`}>
      <Box data-lane={OUT} sx={{ background: target ? palette.iceSoft : 'transparent', outline: target ? `2px solid ${palette.ink}` : 'none' }}>
        {out ? <Box sx={{ border: `1px dashed ${palette.slateSoft}`, padding: 1, marginBottom: 1 }}>{allowed(out) ? `Drop it here to take it out: ${signedMoney(out.difference, plan.currency)}` : 'It cannot be taken out.'}</Box> : null}
        <Box component="ul" sx={{ margin: 0, padding: 0, listStyle: 'none', display: 'grid', gap: 0.8 }}>
          {visits.map((visit) => <Unserved key={visit.id} visit={visit} startPointer={startPointer} />)}
        </Box>
      </Box>
    </Panel>
  );
}

function Unserved({ visit, startPointer }: { visit: PlanVisit; startPointer: (event: PointerEvent, visitId: string) => void }) {
  const { plan, mayMove, moving, choose, chosenId, point } = usePlanView();
  const held = moving.held?.visit.id === visit.id;
  const movable = mayMove && visit.reason !== 'no-place';
  const safety = visit.items.filter(({ kind }) => kind === 'safety').length;
  const onKeyDown = (event: KeyboardEvent) => {
    if (moving.held) heldKey(event, moving);
    else if (movable && (event.key === 'Enter' || event.key === ' ')) {
      event.preventDefault();
      choose(visit.id);
      moving.pickUp(visit, 'keys');
    }
  };
  return (
    <li>
      <Box
        component="button"
        type="button"
        data-visit={visit.id}
        aria-pressed={chosenId === visit.id}
        {...(movable ? { 'aria-describedby': keysId } : {})}
        onClick={() => choose(visit.id)}
        onKeyDown={onKeyDown}
        onPointerDown={(event: PointerEvent) => (movable ? startPointer(event, visit.id) : undefined)}
        onFocus={() => point(visit.id)}
        onBlur={() => {
          point(null);
          if (held && moving.held?.by === 'keys') moving.cancel();
        }}
        sx={{ ...rowStyle, borderLeftColor: safety > 0 ? palette.signal : palette.slateSoft, background: chosenId === visit.id ? palette.iceSoft : palette.paper, cursor: movable ? 'grab' : 'pointer' }}
      >
        <b>{visit.siteName}</b>, {count(visit.items.length, 'piece')} of work, {formatMinutes(visit.minutes)}
        {safety > 0 ? <Box component="span" sx={{ color: palette.signalDeep, fontWeight: 650 }}>, {count(safety, 'safety inspection')}</Box> : null}
        <Box component="span" sx={{ display: 'block', color: palette.inkSoft }}>
          {unservedSentence(visit.reason, visit, plan.currency)} Leaving it out is priced at {formatMoney(visit.costs.unserved, plan.currency)}.
        </Box>
      </Box>
    </li>
  );
}

const rowStyle = {
  display: 'block', width: '100%', textAlign: 'left', font: 'inherit', fontSize: '0.9rem', color: palette.ink, padding: '4px 8px', userSelect: 'none',
  border: `1px solid ${palette.lineSoft}`, borderLeft: '4px solid',
  '&:focus-visible': { outline: `3px solid ${palette.ice}`, outlineOffset: 1 },
} as const;
