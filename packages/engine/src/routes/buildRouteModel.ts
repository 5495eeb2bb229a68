import { decimalScale } from './decimalScale.js';
import { hasSkills, routeOfSlot } from './model.js';
import type { PairTables, RouteModel, RouteTables, StopTables, TravelTables } from './model.js';
import { buildNeighbours } from './neighbours.js';
import type { RouteProblem, RouteSpan } from './types.js';

/** Beyond so many places the comparison of all ways round would take longer than it saves. */
const MOST_PLACES_COMPARED = 600;
const ROUNDING = 1e-9;

/**
 * Lays out a problem that `checkRouteProblem` found no fault with.
 * O(places² + stops · (routes + places) + stops² log stops).
 */
export function buildRouteModel(problem: RouteProblem): RouteModel {
  const timeScale = decimalScale(problem);
  const time = timeScale === 1 ? (minutes: number) => minutes : (minutes: number) => Math.round(minutes * timeScale);
  const travel = buildTravel(problem, time);
  const routes = buildRoutes(problem);
  const nodes = buildNodes(problem, routes, time);
  const stops = buildStops(problem, routes, travel, nodes.place, time, timeScale);
  const pairs = buildPairs(problem, routes, stops, nodes, leastDetours(travel));
  const base = { problem, stopCount: problem.stops.length, routeCount: routes.shiftOf.length, timeScale };
  return { ...base, ...travel, ...routes, ...nodes, ...stops, ...pairs, ...buildNeighbours(travel, nodes, stops, timeScale) };
}

type TimeOf = (minutes: number) => number;
type NodeTables = Pick<RouteModel, 'place' | 'opens' | 'closes' | 'service'>;

function buildTravel(problem: RouteProblem, time: TimeOf): TravelTables {
  const placeCount = problem.travelMinutes.length;
  const minutes = flatten(problem.travelMinutes, time);
  const cost = problem.travelCost
    ? flatten(problem.travelCost, (price) => price)
    : flatten(problem.travelMinutes, (price) => price);
  const minutesInto = transpose(minutes, placeCount);
  return { placeCount, minutes, minutesInto, cost, costInto: transpose(cost, placeCount) };
}

function flatten(matrix: readonly (readonly number[])[], map: TimeOf): Float64Array {
  const size = matrix.length;
  const flat = new Float64Array(size * size);
  matrix.forEach((row, from) => row.forEach((value, to) => (flat[from * size + to] = map(value))));
  return flat;
}

function transpose(flat: Float64Array, size: number): Float64Array {
  const turned = new Float64Array(flat.length);
  for (let from = 0; from < size; from++) {
    for (let to = 0; to < size; to++) turned[to * size + from] = flat[from * size + to]!;
  }
  return turned;
}

function loadKindsOf(problem: RouteProblem): number {
  const capacity = problem.technicians.find((technician) => technician.capacity)?.capacity;
  return (capacity ?? problem.stops.find((stop) => stop.load)?.load ?? []).length;
}

function buildRoutes(problem: RouteProblem): RouteTables {
  const slots = problem.technicians.flatMap((technician, index) =>
    technician.shifts.map((span, shift) => ({ technician, index, span, shift })),
  );
  const loadKinds = loadKindsOf(problem);
  const classes = new Map<string, number>();
  const classOf = slots.map(({ technician, span }) => {
    const { home, end, skills, capacity, fixedCost } = technician;
    const key = JSON.stringify([home, end ?? home, [...skills].sort(), capacity, fixedCost, span.from, span.to]);
    if (!classes.has(key)) classes.set(key, classes.size);
    return classes.get(key)!;
  });
  return {
    technicianOf: Int32Array.from(slots, (slot) => slot.index),
    shiftOf: Int32Array.from(slots, (slot) => slot.shift),
    capacity: Float64Array.from(
      slots.flatMap(({ technician }) => technician.capacity ?? new Array<number>(loadKinds).fill(Infinity)),
    ),
    fixedCost: Float64Array.from(slots, (slot) => slot.technician.fixedCost ?? 0),
    routeClass: Int32Array.from(classOf),
  };
}

function buildNodes(problem: RouteProblem, routes: RouteTables, time: TimeOf): NodeTables {
  const drivers = Array.from(routes.technicianOf, (technician) => problem.technicians[technician]!);
  const shifts = drivers.map((technician, route) => technician.shifts[routes.shiftOf[route]!]!);
  const twice = [...shifts, ...shifts];
  return {
    place: Int32Array.from([
      ...problem.stops.map((stop) => stop.place),
      ...drivers.map((technician) => technician.home),
      ...drivers.map((technician) => technician.end ?? technician.home),
    ]),
    opens: Float64Array.from([
      ...problem.stops.map(({ windows }) => Math.min(...windowsOf(windows).map(({ from }) => time(from)))),
      ...twice.map(({ from }) => time(from)),
    ]),
    closes: Float64Array.from([
      ...problem.stops.map(({ windows }) => Math.max(...windowsOf(windows).map(({ to }) => time(to)))),
      ...twice.map(({ to }) => time(to)),
    ]),
    service: Float64Array.from([...problem.stops.map((stop) => time(stop.minutes)), ...twice.map(() => 0)]),
  };
}

function windowsOf(windows: readonly RouteSpan[]): readonly RouteSpan[] {
  return windows.length > 0 ? windows : [{ from: -Infinity, to: Infinity }];
}

/** Sorted, and joined where they touch: the schedule looks for the first opening after a time, the last before one. */
function mergeSpans(spans: readonly RouteSpan[], time: TimeOf): RouteSpan[] {
  const sorted = windowsOf(spans)
    .map(({ from, to }) => ({ from: time(from), to: time(to) }))
    .sort((one, other) => one.from - other.from || one.to - other.to);
  const merged: RouteSpan[] = [];
  for (const span of sorted) {
    const last = merged.at(-1);
    if (last && span.from <= last.to) last.to = Math.max(last.to, span.to);
    else merged.push(span);
  }
  return merged;
}

function buildStops(
  problem: RouteProblem,
  routes: RouteTables,
  travel: TravelTables,
  place: Int32Array,
  time: TimeOf,
  timeScale: number,
): StopTables {
  const { stops } = problem;
  const windows = stops.map((stop) => mergeSpans(stop.windows, time));
  const windowOf = new Int32Array(stops.length + 1);
  windows.forEach((list, stop) => (windowOf[stop + 1] = windowOf[stop]! + list.length));
  const loadKinds = loadKindsOf(problem);
  return {
    loadKinds,
    windowOf,
    windowFrom: Float64Array.from(windows.flat(), ({ from }) => from),
    windowTo: Float64Array.from(windows.flat(), ({ to }) => to),
    load: Float64Array.from(stops.flatMap(({ load }) => load ?? new Array<number>(loadKinds).fill(0))),
    lateAfter: Float64Array.from(stops, ({ latePrice }) => (latePrice ? time(latePrice.after) : Infinity)),
    latePerMinute: Float64Array.from(stops, ({ latePrice }) => (latePrice?.perMinute ?? 0) / timeScale),
    unservedPrice: Float64Array.from(stops, ({ unservedPrice }) => unservedPrice ?? Infinity),
    absentPrice: absentPrices(problem, travel, routes),
    pinnedRoute: Int32Array.from(stops, ({ fixed }) => (fixed ? routeOfSlot(problem, routes, fixed) : -1)),
    ...leastTravel(travel, place, stops.length),
  };
}

/**
 * A stop without a price costs more to leave out than any plan of the others could save; a fixed stop more than all of
 * those together. So the search first keeps what is fixed, then serves as many as it can, then looks at prices.
 */
function absentPrices(problem: RouteProblem, travel: TravelTables, routes: RouteTables): Float64Array {
  const dearestStep = travel.cost.reduce((most, price) => Math.max(most, price), 0);
  const lastEnd = Math.max(0, ...problem.technicians.flatMap(({ shifts }) => shifts.map(({ to }) => to)));
  let bound = 1 + routes.fixedCost.reduce((sum, price) => sum + price, 0) + dearestStep * routes.shiftOf.length;
  for (const stop of problem.stops) {
    bound += dearestStep + (stop.unservedPrice ?? 0);
    if (stop.latePrice) bound += stop.latePrice.perMinute * Math.max(0, lastEnd - stop.latePrice.after);
    bound += Math.max(0, ...(stop.shiftPrices ?? []).map(({ price }) => price));
  }
  const most = bound * (problem.stops.length + 1);
  return Float64Array.from(problem.stops, (stop) => (stop.fixed ? most : (stop.unservedPrice ?? bound)));
}

function leastTravel(
  travel: TravelTables,
  place: Int32Array,
  stopCount: number,
): Pick<StopTables, 'leastInto' | 'leastOut'> {
  const { placeCount, minutes, minutesInto } = travel;
  const nodesAt = new Int32Array(placeCount);
  for (const at of place) nodesAt[at]!++;
  const least = (table: Float64Array): Float64Array =>
    Float64Array.from({ length: stopCount }, (_, stop) => {
      const own = place[stop]!;
      let smallest = Infinity;
      for (let other = 0; other < placeCount; other++) {
        if (nodesAt[other] === 0 || (other === own && nodesAt[own] === 1)) continue;
        smallest = Math.min(smallest, table[own * placeCount + other]!);
      }
      return smallest;
    });
  return { leastInto: least(minutesInto), leastOut: least(minutes) };
}

function buildPairs(
  problem: RouteProblem,
  routes: RouteTables,
  stops: StopTables,
  nodes: NodeTables,
  leastDetour: Float64Array,
): PairTables {
  const stopCount = problem.stops.length;
  const routeCount = routes.shiftOf.length;
  const allowedOf = new Int32Array(stopCount + 1);
  const allowed: number[] = [];
  const mayServe = new Uint8Array(stopCount * routeCount);
  for (let stop = 0; stop < stopCount; stop++) {
    for (let route = 0; route < routeCount; route++) {
      const pinned = stops.pinnedRoute[stop]!;
      if (pinned !== -1 && pinned !== route) continue;
      if (!hasSkills(problem, stop, routes.technicianOf[route]!)) continue;
      if (!loadFits(routes, stops, stop, route) || !hoursMeet(stops, nodes, stop, stopCount + route)) continue;
      allowed.push(route);
      mayServe[stop * routeCount + route] = 1;
    }
    allowedOf[stop + 1] = allowed.length;
  }
  const priced = problem.stops.some((stop) => stop.shiftPrices && stop.shiftPrices.length > 0);
  const shiftPrice = priced ? new Float64Array(stopCount * routeCount) : null;
  problem.stops.forEach((stop, index) => {
    for (const entry of stop.shiftPrices ?? []) {
      shiftPrice![index * routeCount + routeOfSlot(problem, routes, entry)]! += entry.price;
    }
  });
  const noneAlike = new Set(routes.routeClass).size === routeCount;
  const choosy = Uint8Array.from(problem.stops, (stop) => (noneAlike || stop.fixed || stop.shiftPrices?.length ? 1 : 0));
  return { allowedOf, ...cheapestFirst({ allowedOf, shiftPrice }, allowed, stops, nodes, leastDetour), mayServe, shiftPrice, choosy };
}

/** The routes that may take a stop, by what it costs there at least: a search for the cheapest place can end early. */
function cheapestFirst(
  { allowedOf, shiftPrice }: Pick<PairTables, 'allowedOf' | 'shiftPrice'>,
  allowed: readonly number[],
  stops: StopTables,
  nodes: NodeTables,
  leastDetour: Float64Array,
): Pick<PairTables, 'allowed' | 'allowedLeast'> {
  const stopCount = allowedOf.length - 1;
  const routeCount = (nodes.opens.length - stopCount) / 2;
  const sorted: { route: number; least: number }[] = [];
  for (let stop = 0; stop < stopCount; stop++) {
    const entries = allowed.slice(allowedOf[stop], allowedOf[stop + 1]).map((route) => {
      const earliest = earliestStart(stops, stop, nodes.opens[stopCount + route]! + stops.leastInto[stop]!);
      const late = stops.latePerMinute[stop]! * Math.max(0, earliest - stops.lateAfter[stop]!);
      return { route, least: leastDetour[nodes.place[stop]!]! + late + (shiftPrice ? shiftPrice[stop * routeCount + route]! : 0) };
    });
    sorted.push(...entries.sort((one, other) => one.least - other.least || one.route - other.route));
  }
  return {
    allowed: Int32Array.from(sorted, ({ route }) => route),
    allowedLeast: Float64Array.from(sorted, ({ least }) => least),
  };
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
