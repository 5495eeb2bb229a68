import { checkRouteProblem } from './checkRouteProblem.js';
import type {
  PlannedRoute,
  RouteFault,
  RouteFaults,
  RouteProblem,
  RouteStop,
  RouteTechnician,
  ScheduledRoute,
  ScheduledStop,
} from './types.js';

/** Minutes by which a sum of decimals may miss its limit without being late. */
const ROUNDING_MINUTES = 1e-6;

/** What a plan drawn by hand breaks, and by how much (minutes, or units of load; 1 for a missing skill). */
export interface PlanBreach {
  kind: 'skill' | 'load' | 'window' | 'hours' | 'fixed';
  technician: string;
  shift: number;
  /** The stop; absent for a route that gets home too late or is overloaded. */
  stop?: string;
  excess: number;
}

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
    const technician = technicianOf.get(planned.technician)!;
    priced.routes.push(driveRoute(problem, technician, planned.shift, stops, priced));
    priced.cost += technician.fixedCost ?? 0;
    checkRoute(technician, planned.shift, stops, priced);
  }
  for (const stop of problem.stops) {
    if (served.has(stop.id)) continue;
    priced.unserved.push(stop.id);
    priced.cost += stop.unservedPrice ?? 0;
  }
  priced.cost += priced.travel + priced.late;
  return priced;
}

function checkPlan(
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

function driveRoute(
  problem: RouteProblem,
  technician: RouteTechnician,
  shift: number,
  stops: readonly RouteStop[],
  priced: PricedPlan,
): ScheduledRoute {
  const hours = technician.shifts[shift]!;
  const costs = problem.travelCost ?? problem.travelMinutes;
  const scheduled: ScheduledStop[] = [];
  let place = technician.home;
  let clock = hours.from;
  const go = (to: number): void => {
    priced.travel += costs[place]![to]!;
    clock += problem.travelMinutes[place]![to]!;
    place = to;
  };
  for (const stop of stops) {
    go(stop.place);
    const arrive = clock;
    const start = startAt(stop, arrive);
    if (start.late > 0) breach(priced, 'window', technician.id, shift, start.late, stop.id);
    if (stop.latePrice) priced.late += stop.latePrice.perMinute * Math.max(0, start.at - stop.latePrice.after);
    clock = start.at + stop.minutes;
    scheduled.push({ id: stop.id, arrive, start: start.at, leave: clock });
  }
  go(technician.end ?? technician.home);
  if (clock > hours.to + ROUNDING_MINUTES) breach(priced, 'hours', technician.id, shift, clock - hours.to);
  return { technician: technician.id, shift, stops: scheduled, end: clock };
}

function startAt(stop: RouteStop, arrive: number): { at: number; late: number } {
  if (stop.windows.length === 0) return { at: arrive, late: 0 };
  const open = stop.windows.filter(({ to }) => arrive <= to + ROUNDING_MINUTES);
  if (open.length > 0) return { at: Math.max(arrive, Math.min(...open.map(({ from }) => from))), late: 0 };
  return { at: arrive, late: arrive - Math.max(...stop.windows.map(({ to }) => to)) };
}

function checkRoute(
  technician: RouteTechnician,
  shift: number,
  stops: readonly RouteStop[],
  priced: PricedPlan,
): void {
  for (const stop of stops) {
    const missing = stop.skills.filter((skill) => !technician.skills.includes(skill)).length;
    if (missing > 0) breach(priced, 'skill', technician.id, shift, missing, stop.id);
    if (stop.fixed && (stop.fixed.technician !== technician.id || stop.fixed.shift !== shift)) {
      breach(priced, 'fixed', technician.id, shift, 1, stop.id);
    }
    for (const entry of stop.shiftPrices ?? []) {
      if (entry.technician === technician.id && entry.shift === shift) priced.cost += entry.price;
    }
  }
  technician.capacity?.forEach((room, kind) => {
    const carried = stops.reduce((sum, stop) => sum + (stop.load?.[kind] ?? 0), 0);
    if (carried > room) breach(priced, 'load', technician.id, shift, carried - room);
  });
}

function breach(
  priced: PricedPlan,
  kind: PlanBreach['kind'],
  technician: string,
  shift: number,
  excess: number,
  stop?: string,
): void {
  priced.breaches.push({ kind, technician, shift, excess, ...(stop === undefined ? {} : { stop }) });
}
