import type { PlanProblem, PlanVisit, RoutePlanDetail } from '@lintel/contract';
import type { MovePrice } from '@lintel/engine';
import { useQueryClient } from '@tanstack/react-query';
import { useCallback, useMemo, useRef, useState } from 'react';
import { useNotify } from 'react-admin';
import { etagOf } from '../access/dataProvider.js';
import { refusalOf } from '../access/http.js';
import { useAnswer, useApi } from '../access/hooks.js';
import { plannedRoutes } from './lanes.js';
import type { Lane } from './lanes.js';
import { allowed, laneOfPrice, priceOffers, stepTo } from './offers.js';
import type { Offers, Step } from './offers.js';

/** A visit in the hand. */
export interface Held {
  visit: PlanVisit;
  offers: Offers;
  at: MovePrice;
  by: 'keys' | 'pointer';
}

export interface Moving {
  held: Held | null;
  /** The same, before it is drawn. */
  inHand: () => Held | null;
  /** Being sent. */
  busy: boolean;
  /** What was done last, for ears and eyes. */
  said: string;
  /** Takes a visit up; false where it cannot be. */
  pickUp: (visit: PlanVisit, by: Held['by']) => boolean;
  go: (to: MovePrice) => void;
  step: (step: Step) => void;
  drop: () => void;
  cancel: () => void;
  /** Puts a visit somewhere without taking it up first. */
  put: (visit: PlanVisit, to: MovePrice) => void;
  pricesOf: (visit: PlanVisit) => Offers | null;
}

export const planPath = (id: string): string => `/route-plans/${id}`;

/** Takes a plan as the server answered it. */
export function useTakePlan(): (plan: RoutePlanDetail) => void {
  const client = useQueryClient();
  return useCallback((plan: RoutePlanDetail) => {
    client.setQueryData(['answer', planPath(plan.id)], plan);
    void client.invalidateQueries({ queryKey: ['answer', `${planPath(plan.id)}/difference`] });
  }, [client]);
}

/** Somebody else has changed the plan meanwhile: what is shown is asked for anew. */
export function useLookAgain(): (planId: string, error: unknown) => void {
  const client = useQueryClient();
  return useCallback((planId: string, error: unknown) => {
    if (refusalOf(error).status !== 412) return;
    for (const path of ['', '/problem', '/difference']) void client.invalidateQueries({ queryKey: ['answer', planPath(planId) + path] });
  }, [client]);
}

/** Moving visits of a plan by hand: all places are priced in the page when a visit is taken up, the drop is sent. */
export function useMoving(plan: RoutePlanDetail, lanes: readonly Lane[], mayMove: boolean): Moving {
  const { data: kept } = useAnswer<PlanProblem>(`${planPath(plan.id)}/problem`, { enabled: mayMove });
  const [held, setHeld] = useState<Held | null>(null);
  const [said, setSaid] = useState('');
  // Several moves of the pointer may come before the page is drawn again: they go on from here, not from what is drawn.
  const hand = useRef<Held | null>(null);
  const hold = (next: Held | null) => {
    hand.current = next;
    setHeld(next);
  };
  const { send, busy } = useSend(plan, lanes, setSaid);
  const routes = useMemo(() => plannedRoutes(plan), [plan]);
  const pricesOf = useCallback((visit: PlanVisit) => (kept ? priceOffers(kept.problem, routes, visit.id) : null), [kept, routes]);
  const pickUp = (visit: PlanVisit, by: Held['by']): boolean => {
    const why = keptWhere(visit, mayMove) ?? (kept ? null : 'The prices are still being fetched: try again in a moment.');
    const offers = why === null ? pricesOf(visit) : null;
    if (offers === null) {
      setSaid(why ?? `${visit.siteName} has no place on the map: it cannot be planned.`);
      return false;
    }
    setSaid('');
    hold({ visit, offers, at: offers.now, by });
    return true;
  };
  const put = (visit: PlanVisit, to: MovePrice) => {
    hold(null);
    void send(visit, to);
  };
  const leave = (words: string) => {
    hold(null);
    setSaid(words);
  };
  const drop = () => {
    const now = hand.current;
    if (now === null) return;
    const { at, visit } = now;
    if (at === now.offers.now) leave(`${visit.siteName} stays where it was.`);
    else if (allowed(at)) put(visit, at);
    // By keys one goes on to a place that is allowed.
    else if (now.by === 'pointer') leave(`${visit.siteName} cannot be there; it stays where it was.`);
  };
  const go = (at: MovePrice) => {
    if (hand.current && hand.current.at !== at) hold({ ...hand.current, at });
  };
  return {
    held, busy, said, put, drop, pricesOf, pickUp, go,
    inHand: () => hand.current,
    step: (step) => {
      if (hand.current) go(stepTo(hand.current.offers, lanes, hand.current.at, step));
    },
    cancel: () => {
      if (hand.current) leave(`${hand.current.visit.siteName} stays where it was.`);
    },
  };
}

function keptWhere({ locked, startedAt, siteName }: PlanVisit, mayMove: boolean): string | null {
  if (!mayMove) return 'Only visits of a draft or accepted plan can be moved.';
  if (startedAt !== null) return `${siteName} has begun: it stays where it is.`;
  return locked ? `${siteName} is locked: unlock it first.` : null;
}

function useSend(plan: RoutePlanDetail, lanes: readonly Lane[], say: (words: string) => void) {
  const api = useApi();
  const notify = useNotify();
  const takePlan = useTakePlan();
  const lookAgain = useLookAgain();
  const [busy, setBusy] = useState(false);
  const send = async (visit: PlanVisit, to: MovePrice) => {
    const lane = lanes.find(({ key }) => key === laneOfPrice(to));
    const body = lane ? { technicianId: lane.route.technicianId, onDate: lane.route.onDate, shift: lane.route.shift, position: to.position } : { technicianId: null };
    setBusy(true);
    try {
      takePlan(await api.send<RoutePlanDetail>('POST', `${planPath(plan.id)}/visits/${visit.id}/move`, body, etagOf(plan.version)));
      say(lane ? `${visit.siteName} moved to ${lane.route.technicianName}.` : `${visit.siteName} taken out of the plan.`);
    } catch (error) {
      say('');
      lookAgain(plan.id, error);
      notify(refusalOf(error).detail, { type: 'error' });
    } finally {
      setBusy(false);
    }
  };
  return { send, busy };
}
