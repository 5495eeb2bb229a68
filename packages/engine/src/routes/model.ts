import type { RouteProblem, RouteSlot } from './types.js';

/**
 * A problem laid out in typed arrays. Nodes: the stops 0 … n−1, then the start of each route (n + route), then its end
 * (n + routes + route). Times are multiplied by `timeScale`, which makes decimal input exact whole numbers.
 */
export interface RouteModel extends TravelTables, StopTables, RouteTables, PairTables {
  problem: RouteProblem;
  stopCount: number;
  routeCount: number;
  timeScale: number;
  /** By node: its place in the tables; first opening and last closing (a route's hours at both its ends); service time. */
  place: Int32Array;
  opens: Float64Array;
  closes: Float64Array;
  service: Float64Array;
  /** `neighbours[stop · neighbourCount …]`: the stops nearest to it in distance and time, itself first. */
  neighbours: Int32Array;
  neighbourCount: number;
  /** What a step between near stops, or half a day's delay by price if that is more, costs on average: the unit of the annealing temperature. */
  costUnit: number;
}

/** Places are in an order of the model's own. `minutes[from · placeCount + to]`; the `Into` twins are transposed, so that all that leads to a stop lies together. */
export interface TravelTables {
  placeCount: number;
  minutes: Float64Array;
  minutesInto: Float64Array;
  cost: Float64Array;
  costInto: Float64Array;
}

export interface StopTables {
  loadKinds: number;
  /** Windows of stop s: `windowOf[s]` up to `windowOf[s + 1]`, sorted and apart from each other. */
  windowOf: Int32Array;
  windowFrom: Float64Array;
  windowTo: Float64Array;
  /** `load[stop · loadKinds + kind]`. */
  load: Float64Array;
  lateAfter: Float64Array;
  latePerMinute: Float64Array;
  /** Its own price, Infinity when there is none. */
  unservedPrice: Float64Array;
  /** Price of leaving the stop out as the search sees it: its own, or more than any plan could cost. */
  absentPrice: Float64Array;
  /** Route that a fixed stop stays on, −1 for the others. */
  pinnedRoute: Int32Array;
  /** Least minutes from any other node to the stop, and from it to any other node. */
  leastInto: Float64Array;
  leastOut: Float64Array;
}

export interface RouteTables {
  technicianOf: Int32Array;
  shiftOf: Int32Array;
  /** `capacity[route · loadKinds + kind]`, Infinity when there is no limit. */
  capacity: Float64Array;
  fixedCost: Float64Array;
  /** Routes of one class are alike: an empty one stands for every other empty one, except for `choosy` stops. */
  routeClass: Int32Array;
  /** Each route is a class of its own, as are the days of people who live apart. */
  noneAlike: boolean;
}

export interface PairTables {
  /**
   * Routes that may take stop s: `allowed[allowedOf[s]]` up to `allowedOf[s + 1]`, by rising `leastPrice`. An index there
   * is the pair of a stop and a route; the other tables are laid out by it, in the order in which a stop looks for room.
   */
  allowedOf: Int32Array;
  allowed: Int32Array;
  /** By stop · routeCount + route: the pair, −1 where the stop may not be on the route. */
  pairOf: Int32Array;
  /** By pair: what the stop costs there at least (least detour, lateness at the earliest hour, the shift's price). */
  leastPrice: Float64Array;
  /** By pair: first opening and last closing of the stop's windows that meet the route's hours, and 1 where that is one window. */
  opensOn: Float64Array;
  closesOn: Float64Array;
  oneWindowOn: Uint8Array;
  /** By stop · routeCount + route; null when no stop has a shift price. */
  shiftPrice: Float64Array | null;
  /** 1: the stop looks through its own list, since routes that are alike differ for it, or none are alike. */
  choosy: Uint8Array;
}

/** Whether the technician of the route has all skills of the stop. */
export function hasSkills(problem: RouteProblem, stop: number, technician: number): boolean {
  const skills = problem.technicians[technician]!.skills;
  return problem.stops[stop]!.skills.every((skill) => skills.includes(skill));
}

/** Index of the route of a technician's shift, −1 when there is none. O(routes). */
export function routeOfSlot(problem: RouteProblem, routes: RouteTables, slot: RouteSlot): number {
  return routes.shiftOf.findIndex(
    (shift, route) =>
      shift === slot.shift && problem.technicians[routes.technicianOf[route]!]!.id === slot.technician,
  );
}
