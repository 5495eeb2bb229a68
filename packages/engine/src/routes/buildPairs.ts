import { hasSkills, routeOfSlot } from './model.js';
import type { PairTables, RouteModel, RouteTables, StopTables, TravelTables } from './model.js';
import type { RouteProblem } from './types.js';

/** Beyond so many places the comparison of all ways round would take longer than it saves. */
const MOST_PLACES_COMPARED = 600;
const ROUNDING = 1e-9;

type NodeTables = Pick<RouteModel, 'place' | 'opens' | 'closes' | 'service'>;
type WindowsOn = Pick<PairTables, 'opensOn' | 'closesOn' | 'oneWindowOn'>;

/** What each stop may do on each route, and what it costs there at least. O(places³ + stops · routes · (windows + log routes)). */
export function buildPairs(
  problem: RouteProblem,
  routes: RouteTables,
  stops: StopTables,
  nodes: NodeTables,
  travel: TravelTables,
): PairTables {
  const routeCount = routes.shiftOf.length;
  const shiftPrice = shiftPrices(problem, routes);
  const leastOn = leastPrices(problem, routes, stops, nodes, leastDetours(travel), shiftPrice);
  const allowedOf = new Int32Array(problem.stops.length + 1);
  const allowed: number[] = [];
  const leastPrice: number[] = [];
  const pairOf = new Int32Array(problem.stops.length * routeCount).fill(-1);
  problem.stops.forEach((_, stop) => {
    const least = leastOn.subarray(stop * routeCount, (stop + 1) * routeCount);
    const mayServe = [...least.keys()].filter((route) => least[route]! < Infinity);
    for (const route of mayServe.sort((one, other) => least[one]! - least[other]! || one - other)) {
      pairOf[stop * routeCount + route] = allowed.length;
      allowed.push(route);
      leastPrice.push(least[route]!);
    }
    allowedOf[stop + 1] = allowed.length;
  });
  return {
    allowedOf,
    allowed: Int32Array.from(allowed),
    pairOf,
    leastPrice: Float64Array.from(leastPrice),
    ...windowsOn(stops, nodes, allowedOf, allowed),
    shiftPrice,
    choosy: Uint8Array.from(problem.stops, (stop) => (routes.noneAlike || stop.fixed || stop.shiftPrices?.length ? 1 : 0)),
  };
}

function shiftPrices(problem: RouteProblem, routes: RouteTables): Float64Array | null {
  if (!problem.stops.some((stop) => stop.shiftPrices && stop.shiftPrices.length > 0)) return null;
  const routeCount = routes.shiftOf.length;
  const prices = new Float64Array(problem.stops.length * routeCount);
  problem.stops.forEach((stop, index) => {
    for (const entry of stop.shiftPrices ?? []) {
      prices[index * routeCount + routeOfSlot(problem, routes, entry)]! += entry.price;
    }
  });
  return prices;
}

/** By stop · routeCount + route: least detour, lateness at the earliest hour and the shift's price; Infinity where the stop may not be. */
function leastPrices(
  problem: RouteProblem,
  routes: RouteTables,
  stops: StopTables,
  nodes: NodeTables,
  leastDetour: Float64Array,
  shiftPrice: Float64Array | null,
): Float64Array {
  const stopCount = problem.stops.length;
  const routeCount = routes.shiftOf.length;
  const least = new Float64Array(stopCount * routeCount).fill(Infinity);
  for (let stop = 0; stop < stopCount; stop++) {
    const pinned = stops.pinnedRoute[stop]!;
    for (let route = 0; route < routeCount; route++) {
      if (pinned !== -1 && pinned !== route) continue;
      if (!hasSkills(problem, stop, routes.technicianOf[route]!)) continue;
      if (!loadFits(routes, stops, stop, route) || !hoursMeet(stops, nodes, stop, stopCount + route)) continue;
      const at = stop * routeCount + route;
      const earliest = earliestStart(stops, stop, nodes.opens[stopCount + route]! + stops.leastInto[stop]!);
      const late = stops.latePerMinute[stop]! * Math.max(0, earliest - stops.lateAfter[stop]!);
      least[at] = leastDetour[nodes.place[stop]!]! + late + (shiftPrice ? shiftPrice[at]! : 0);
    }
  }
  return least;
}

/** A stop's windows as a route sees them: most often the one of that day. */
function windowsOn(stops: StopTables, nodes: NodeTables, allowedOf: Int32Array, allowed: readonly number[]): WindowsOn {
  const opensOn = new Float64Array(allowed.length).fill(Infinity);
  const closesOn = new Float64Array(allowed.length).fill(-Infinity);
  const oneWindowOn = new Uint8Array(allowed.length);
  const stopCount = allowedOf.length - 1;
  for (let stop = 0; stop < stopCount; stop++) {
    for (let pair = allowedOf[stop]!; pair < allowedOf[stop + 1]!; pair++) {
      const route = allowed[pair]!;
      let met = 0;
      for (let window = stops.windowOf[stop]!; window < stops.windowOf[stop + 1]!; window++) {
        if (stops.windowTo[window]! < nodes.opens[stopCount + route]!) continue;
        if (stops.windowFrom[window]! > nodes.closes[stopCount + route]!) break;
        if (met++ === 0) opensOn[pair] = stops.windowFrom[window]!;
        closesOn[pair] = stops.windowTo[window]!;
      }
      oneWindowOn[pair] = met === 1 ? 1 : 0;
    }
  }
  return { opensOn, closesOn, oneWindowOn };
}

/** Least price by which a visit to a place lengthens any step; below 0 where the way round is cheaper. O(places³). */
function leastDetours({ placeCount, cost, costInto }: TravelTables): Float64Array {
  const least = new Float64Array(placeCount).fill(placeCount > MOST_PLACES_COMPARED ? -Infinity : Infinity);
  if (placeCount > MOST_PLACES_COMPARED) return least;
  for (let place = 0; place < placeCount; place++) {
    let smallest = Infinity;
    for (let from = 0; from < placeCount; from++) {
      const into = costInto[place * placeCount + from]!;
      for (let to = 0; to < placeCount; to++) {
        const detour = into + cost[place * placeCount + to]! - cost[from * placeCount + to]!;
        if (detour < smallest) smallest = detour;
      }
    }
    least[place] = smallest - ROUNDING;
  }
  return least;
}

function earliestStart(stops: StopTables, stop: number, from: number): number {
  for (let window = stops.windowOf[stop]!; window < stops.windowOf[stop + 1]!; window++) {
    if (from <= stops.windowTo[window]!) return Math.max(from, stops.windowFrom[window]!);
  }
  return from;
}

function loadFits(routes: RouteTables, stops: StopTables, stop: number, route: number): boolean {
  const kinds = stops.loadKinds;
  for (let kind = 0; kind < kinds; kind++) {
    if (stops.load[stop * kinds + kind]! > routes.capacity[route * kinds + kind]!) return false;
  }
  return true;
}

/** Whether a window of the stop and the hours of the route have a time in common, at the least travel there and back. */
function hoursMeet(stops: StopTables, nodes: NodeTables, stop: number, start: number): boolean {
  const earliest = nodes.opens[start]! + stops.leastInto[stop]!;
  const latest = nodes.closes[start]! - nodes.service[stop]! - stops.leastOut[stop]!;
  for (let window = stops.windowOf[stop]!; window < stops.windowOf[stop + 1]!; window++) {
    if (Math.max(earliest, stops.windowFrom[window]!) <= Math.min(latest, stops.windowTo[window]!)) return true;
  }
  return false;
}
