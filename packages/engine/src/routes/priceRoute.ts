import type { RouteProblem, RouteStop, RouteTechnician, ScheduledRoute, ScheduledStop } from './types.js';

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

export interface PricedRoute {
  /** Travel, lateness, shift prices and the shift itself; 0 for a route without a stop. */
  cost: number;
  travel: number;
  late: number;
  route: ScheduledRoute;
  breaches: PlanBreach[];
}

/** Times and prices of one route as it stands, possible or not. O(stops). */
export function priceRoute(
  problem: RouteProblem,
  technician: RouteTechnician,
  shift: number,
  stops: readonly RouteStop[],
): PricedRoute {
  const hours = technician.shifts[shift]!;
  const costs = problem.travelCost ?? problem.travelMinutes;
  const scheduled: ScheduledStop[] = [];
  const priced: PricedRoute = {
    cost: 0, travel: 0, late: 0, breaches: [], route: { technician: technician.id, shift, stops: scheduled, end: hours.from },
  };
  if (stops.length === 0) return priced;
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
    if (start.late > 0) breach(priced, 'window', start.late, stop.id);
    if (stop.latePrice) priced.late += stop.latePrice.perMinute * Math.max(0, start.at - stop.latePrice.after);
    clock = start.at + stop.minutes;
    scheduled.push({ id: stop.id, arrive, start: start.at, leave: clock });
  }
  go(technician.end ?? technician.home);
  if (clock > hours.to + ROUNDING_MINUTES) breach(priced, 'hours', clock - hours.to);
  priced.route.end = clock;
  priced.cost += (technician.fixedCost ?? 0) + priced.travel + priced.late;
  checkRoute(technician, shift, stops, priced);
  return priced;
}

function startAt(stop: RouteStop, arrive: number): { at: number; late: number } {
  if (stop.windows.length === 0) return { at: arrive, late: 0 };
  const open = stop.windows.filter(({ to }) => arrive <= to + ROUNDING_MINUTES);
  if (open.length > 0) return { at: Math.max(arrive, Math.min(...open.map(({ from }) => from))), late: 0 };
  return { at: arrive, late: arrive - Math.max(...stop.windows.map(({ to }) => to)) };
}

function checkRoute(technician: RouteTechnician, shift: number, stops: readonly RouteStop[], priced: PricedRoute): void {
  for (const stop of stops) {
    const missing = stop.skills.filter((skill) => !technician.skills.includes(skill)).length;
    if (missing > 0) breach(priced, 'skill', missing, stop.id);
    if (stop.fixed && (stop.fixed.technician !== technician.id || stop.fixed.shift !== shift)) breach(priced, 'fixed', 1, stop.id);
    for (const entry of stop.shiftPrices ?? []) {
      if (entry.technician === technician.id && entry.shift === shift) priced.cost += entry.price;
    }
  }
  technician.capacity?.forEach((room, kind) => {
    const carried = stops.reduce((sum, stop) => sum + (stop.load?.[kind] ?? 0), 0);
    if (carried > room) breach(priced, 'load', carried - room);
  });
}

function breach(priced: PricedRoute, kind: PlanBreach['kind'], excess: number, stop?: string): void {
  const { technician, shift } = priced.route;
  priced.breaches.push({ kind, technician, shift, excess, ...(stop === undefined ? {} : { stop }) });
}
