import { routeOfSlot } from './model.js';
import type { RouteModel } from './model.js';
import type { PlannedRoute, RouteFault } from './types.js';

/**
 * A plan in words as stop indices by route, without the stops that may not be there (skills, load, fixed elsewhere);
 * or what is wrong with it. O(routes · plan length + stops).
 */
export function readStartPlan(
  model: RouteModel,
  plan: readonly PlannedRoute[],
): { routes: number[][] } | { faults: RouteFault[] } {
  const faults: RouteFault[] = [];
  const routes: number[][] = Array.from({ length: model.routeCount }, () => []);
  const indexOf = new Map(model.problem.stops.map((stop, index) => [stop.id, index]));
  const placed = new Set<string>();
  plan.forEach((planned, at) => {
    const route = routeOfSlot(model.problem, model, planned);
    if (route < 0) {
      const facts = { technician: planned.technician, shift: planned.shift };
      faults.push({ path: ['start', at], code: 'no-such-shift', facts });
      return;
    }
    planned.stops.forEach((id, order) => {
      const stop = indexOf.get(id);
      const path = ['start', at, 'stops', order];
      if (stop === undefined) faults.push({ path, code: 'no-such-stop', facts: { id } });
      else if (placed.has(id)) faults.push({ path, code: 'duplicate-id', facts: { id } });
      else if (mayJoin(model, routes[route]!, route, stop)) routes[route]!.push(stop);
      placed.add(id);
    });
  });
  return faults.length > 0 ? { faults } : { routes };
}

function mayJoin(model: RouteModel, stops: readonly number[], route: number, stop: number): boolean {
  const { loadKinds, load, capacity } = model;
  if (!model.allowed.subarray(model.allowedOf[stop]!, model.allowedOf[stop + 1]!).includes(route)) return false;
  for (let kind = 0; kind < loadKinds; kind++) {
    const carried = stops.reduce((sum, other) => sum + load[other * loadKinds + kind]!, 0);
    if (carried + load[stop * loadKinds + kind]! > capacity[route * loadKinds + kind]!) return false;
  }
  return true;
}
