import type { PlanState } from './planState.js';
import type { RoutePlan, ScheduledRoute, ScheduledStop } from './types.js';
import { unservedReason } from './unservedReason.js';

/** The plan of a state in words: times in minutes, prices, and why each stop that is left out is. O(stops · routes). */
export function writePlan(state: PlanState): RoutePlan {
  const { model } = state;
  const routes: ScheduledRoute[] = [];
  let cost = 0;
  let travel = 0;
  for (let route = 0; route < model.routeCount; route++) {
    if (state.length[route] === 0) continue;
    cost += state.routeCost[route]!;
    for (let node = state.startOf(route); node !== state.endOf(route); node = state.next[node]!) {
      travel += state.step[node]!;
    }
    routes.push(writeRoute(state, route));
  }
  const left = Array.from(state.absent.subarray(0, state.absentCount)).sort((one, other) => one - other);
  for (const stop of left) if (model.unservedPrice[stop]! < Infinity) cost += model.unservedPrice[stop]!;
  const unserved = left.map((stop) => ({
    id: model.problem.stops[stop]!.id,
    reason: unservedReason(state, stop),
  }));
  return { cost, travel, unserved, routes };
}

function writeRoute(state: PlanState, route: number): ScheduledRoute {
  const { model } = state;
  const stops: ScheduledStop[] = [];
  const end = state.endOf(route);
  let node = state.startOf(route);
  for (let following = state.next[node]!; following !== end; following = state.next[node]!) {
    const leave = state.leave[following]!;
    stops.push({
      id: model.problem.stops[following]!.id,
      arrive: (state.leave[node]! + state.minutesBetween(node, following)) / model.timeScale,
      start: (leave - model.service[following]!) / model.timeScale,
      leave: leave / model.timeScale,
    });
    node = following;
  }
  return {
    technician: model.problem.technicians[model.technicianOf[route]!]!.id,
    shift: model.shiftOf[route]!,
    stops,
    end: (state.leave[node]! + state.minutesBetween(node, end)) / model.timeScale,
  };
}
