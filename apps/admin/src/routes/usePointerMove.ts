import { useEffect, useLayoutEffect, useRef } from 'react';
import type { PointerEvent as ReactPointerEvent } from 'react';
import { OUT } from './lanes.js';
import type { Scale } from './lanes.js';
import type { PlanView } from './planView.js';

/** Pixels before a press becomes a drag. */
const DRAG_FROM = 5;
const EDGE = 56;

/** Dragging of visits with mouse, pen or finger: the place under the pointer is the one nearest in its lane. */
export function usePointerMove(view: PlanView, scale: Scale): (event: ReactPointerEvent, visitId: string) => void {
  const latest = useRef({ view, scale });
  useLayoutEffect(() => {
    latest.current = { view, scale };
  });
  const stop = useRef<() => void>(() => undefined);
  useEffect(() => () => stop.current(), []);
  return (event, visitId) => {
    if (event.button !== 0 || !view.mayMove) return;
    const from = { x: event.clientX, y: event.clientY };
    let dragging = false;
    const move = (now: PointerEvent) => {
      const { view: seen } = latest.current;
      if (!dragging) {
        if (Math.hypot(now.clientX - from.x, now.clientY - from.y) < DRAG_FROM) return;
        const visit = seen.visitOf.get(visitId);
        if (!visit || !seen.moving.pickUp(visit, 'pointer')) return end();
        dragging = true;
      }
      now.preventDefault();
      scrollAtEdge(now.clientY);
      goTo(latest.current, now);
    };
    const up = () => {
      end();
      if (!dragging) return;
      swallowClick();
      latest.current.view.moving.drop();
    };
    const leave = (key: KeyboardEvent) => {
      if (key.key !== 'Escape') return;
      end();
      latest.current.view.moving.cancel();
    };
    const cancel = () => {
      end();
      latest.current.view.moving.cancel();
    };
    const end = () => {
      window.removeEventListener('pointermove', move);
      window.removeEventListener('pointerup', up);
      window.removeEventListener('pointercancel', cancel);
      window.removeEventListener('keydown', leave);
    };
    stop.current = end;
    window.addEventListener('pointermove', move);
    window.addEventListener('pointerup', up);
    window.addEventListener('pointercancel', cancel);
    window.addEventListener('keydown', leave);
  };
}

function scrollAtEdge(y: number) {
  if (y < EDGE) window.scrollBy(0, -14);
  else if (y > window.innerHeight - EDGE) window.scrollBy(0, 14);
}

/** The click that follows a drag chooses nothing. */
function swallowClick() {
  const swallow = (event: MouseEvent) => event.stopPropagation();
  window.addEventListener('click', swallow, { capture: true, once: true });
  setTimeout(() => window.removeEventListener('click', swallow, { capture: true }), 0);
}

function goTo({ view, scale }: { view: PlanView; scale: Scale }, { clientX, clientY }: PointerEvent) {
  const { inHand, go } = view.moving;
  const held = inHand();
  const row = document.elementFromPoint(clientX, clientY)?.closest<HTMLElement>('[data-lane]');
  if (!held || !row) return;
  const places = held.offers.byLane.get(row.dataset['lane'] ?? '') ?? [];
  if (row.dataset['lane'] === OUT) {
    if (places[0]) go(places[0]);
    return;
  }
  const lane = view.lanes.find(({ key }) => key === row.dataset['lane']);
  const track = row.querySelector<HTMLElement>('[data-track]')?.getBoundingClientRect();
  if (!lane || !track) return;
  const minutes = scale.from + ((clientX - track.left) / track.width) * (scale.to - scale.from);
  const others = lane.stops.filter(({ visit }) => visit.id !== held.visit.id);
  const place = places[others.filter(({ starts, leaves }) => (starts + leaves) / 2 < minutes).length];
  if (place) go(place);
}
