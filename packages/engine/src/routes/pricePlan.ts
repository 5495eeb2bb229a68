import { checkRouteProblem } from './checkRouteProblem.js';
import { priceRoute, type PlanBreach } from './priceRoute.js';
import type { PlannedRoute, RouteFault, RouteFaults, RouteProblem, RouteStop, RouteTechnician, ScheduledRoute } from './types.js';

export type { PlanBreach } from './priceRoute.js';

/** A plan in the order given: its times and prices, and what it breaks. */
export interface PricedPlan {
  cost: number;
  travel: number;
  late: number;
  routes: ScheduledRoute[];
  /** Ids of the stops on no route. Their prices are in `cost`. */
  unserved: string[];
  breaches: PlanBreach[];
}

/**
 * Times and prices of a plan as it stands, possible or not: for a planner who moves a stop by hand and wants to see what
 * that costs and what it breaks. A stop reached after its last window starts on arrival and is a breach.
 * O(places² + stops), or O(stops) with `checked`, for a problem that `checkRouteProblem` has passed already.
 */
export function pricePlan(
  problem: RouteProblem,
  plan: readonly PlannedRoute[],
  checked = false,
): PricedPlan | RouteFaults {
  const faults = checked ? [] : checkRouteProblem(problem);
  const stopOf = new Map(problem.stops.map((stop) => [stop.id, stop]));
  const technicianOf = new Map(problem.technicians.map((technician) => [technician.id, technician]));
  faults.push(...checkPlan(plan, stopOf, technicianOf));
  if (faults.length > 0) return { faults };
  const priced: PricedPlan = { cost: 0, travel: 0, late: 0, routes: [], unserved: [], breaches: [] };
  const served = new Set<string>();
  for (const planned of plan) {
    if (planned.stops.length === 0) continue;
    const stops = planned.stops.map((id) => stopOf.get(id)!);
    for (const { id } of stops) served.add(id);
    const one = priceRoute(problem, technicianOf.get(planned.technician)!, planned.shift, stops);
    priced.cost += one.cost;
    priced.travel += one.travel;
    priced.late += one.late;
    priced.routes.push(one.route);
    priced.breaches.push(...one.breaches);
  }
  for (const stop of problem.stops) {
    if (served.has(stop.id)) continue;
    priced.unserved.push(stop.id);
    priced.cost += stop.unservedPrice ?? 0;
  }
  return priced;
}

/** What is wrong with a plan for a problem: routes and stops that are not there, stops that are there twice. */
export function checkPlan(
  plan: readonly PlannedRoute[],
  stopOf: ReadonlyMap<string, RouteStop>,
  technicianOf: ReadonlyMap<string, RouteTechnician>,
): RouteFault[] {
  const faults: RouteFault[] = [];
  const seen = new Set<string>();
  plan.forEach((planned, at) => {
    const { technician, shift } = planned;
    if (!technicianOf.get(technician)?.shifts[shift]) {
      faults.push({ path: ['plan', at], code: 'no-such-shift', facts: { technician, shift } });
    }
    planned.stops.forEach((id, order) => {
      const path = ['plan', at, 'stops', order];
      if (!stopOf.has(id)) faults.push({ path, code: 'no-such-stop', facts: { id } });
      else if (seen.has(id)) faults.push({ path, code: 'duplicate-id', facts: { id } });
      seen.add(id);
    });
  });
  return faults;
}
