import type { RouteProblem, ScheduledRoute } from './types.js';

/**
 * By how many minutes the start of each stop of a scheduled route may slip with every later one, and the way home, still
 * possible; 0 where the route is late already. O(stops · windows).
 */
export function routeSlack(problem: RouteProblem, route: ScheduledRoute): number[] {
  const technician = problem.technicians.find(({ id }) => id === route.technician)!;
  const stopOf = new Map(problem.stops.map((stop) => [stop.id, stop]));
  let place = technician.end ?? technician.home;
  let latest = technician.shifts[route.shift]!.to;
  const slack: number[] = [];
  for (const { id, start } of [...route.stops].reverse()) {
    const stop = stopOf.get(id)!;
    const bound = latest - problem.travelMinutes[stop.place]![place]! - stop.minutes;
    const ends = stop.windows.filter(({ from }) => from <= bound).map(({ to }) => Math.min(to, bound));
    const last = stop.windows.length === 0 ? bound : Math.max(start, ...ends);
    slack.push(Math.max(0, last - start));
    latest = last;
    place = stop.place;
  }
  return slack.reverse();
}
