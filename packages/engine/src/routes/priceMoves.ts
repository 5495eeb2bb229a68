import { checkRouteProblem } from './checkRouteProblem.js';
import { checkPlan } from './pricePlan.js';
import { priceRoute, type PlanBreach } from './priceRoute.js';
import type { PlannedRoute, RouteFaults, RouteProblem } from './types.js';

/** What moving a stop to one place would cost. */
export interface MovePrice {
  /** Null with shift and position: taken out of the plan. */
  technician: string | null;
  shift: number | null;
  /** Place in the route without the stop; 0: first. */
  position: number | null;
  /** Against the plan as it stands. */
  difference: number;
  /** What the route would break with the stop there. */
  breaches: PlanBreach[];
}

/**
 * Prices of moving one stop to every place of every route, and of taking it out: for a planner who drags it over the plan.
 * Its present place is among them, at 0. O(Σ over shifts of (stops + 1)²), 60 stops in some milliseconds; with `checked` the
 * problem is not checked again.
 */
export function priceMoves(
  problem: RouteProblem,
  plan: readonly PlannedRoute[],
  stopId: string,
  checked = false,
): MovePrice[] | RouteFaults {
  const faults = checked ? [] : checkRouteProblem(problem);
  const stopOf = new Map(problem.stops.map((stop) => [stop.id, stop]));
  const technicianOf = new Map(problem.technicians.map((technician) => [technician.id, technician]));
  faults.push(...checkPlan(plan, stopOf, technicianOf));
  const stop = stopOf.get(stopId);
  if (stop === undefined) faults.push({ path: ['stop'], code: 'no-such-stop', facts: { id: stopId } });
  if (faults.length > 0) return { faults };
  const planned = new Map(plan.map((route) => [slotKey(route.technician, route.shift), route.stops]));
  const from = plan.find(({ stops }) => stops.includes(stopId));
  const routeWithout = (technician: string, shift: number) =>
    (planned.get(slotKey(technician, shift)) ?? []).filter((id) => id !== stopId).map((id) => stopOf.get(id)!);
  const costOf = (technician: string, shift: number, stops: ReturnType<typeof routeWithout>) =>
    priceRoute(problem, technicianOf.get(technician)!, shift, stops);
  const out = stop!.unservedPrice ?? 0;
  /** What the plan saves when the stop is where it is no longer. */
  const present = from === undefined
    ? out
    : costOf(from.technician, from.shift, from.stops.map((id) => stopOf.get(id)!)).cost -
      costOf(from.technician, from.shift, routeWithout(from.technician, from.shift)).cost;
  const moves: MovePrice[] = [{ technician: null, shift: null, position: null, difference: out - present, breaches: [] }];
  for (const { id: technician, shifts } of problem.technicians) {
    for (let shift = 0; shift < shifts.length; shift++) {
      const others = routeWithout(technician, shift);
      const before = costOf(technician, shift, others).cost;
      for (let position = 0; position <= others.length; position++) {
        const { cost, breaches } = costOf(technician, shift, others.toSpliced(position, 0, stop!));
        moves.push({ technician, shift, position, difference: cost - before - present, breaches });
      }
    }
  }
  return moves;
}

const slotKey = (technician: string, shift: number): string => `${shift}/${technician}`;
