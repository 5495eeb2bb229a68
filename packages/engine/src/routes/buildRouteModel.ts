import { buildPairs } from './buildPairs.js';
import { decimalScale } from './decimalScale.js';
import { routeOfSlot } from './model.js';
import type { RouteModel, RouteTables, StopTables, TravelTables } from './model.js';
import { buildNeighbours } from './neighbours.js';
import type { RouteProblem, RouteSpan } from './types.js';

/**
 * Lays out a problem that `checkRouteProblem` found no fault with.
 * O(places² + stops · (routes + places) + stops² log stops).
 */
export function buildRouteModel(problem: RouteProblem): RouteModel {
  const timeScale = decimalScale(problem);
  const time = timeScale === 1 ? (minutes: number) => minutes : (minutes: number) => Math.round(minutes * timeScale);
  const order = nearOrder(problem.travelMinutes);
  const travel = buildTravel(problem, order, time);
  const routes = buildRoutes(problem);
  const nodes = buildNodes(problem, order, routes, time);
  const stops = buildStops(problem, routes, travel, nodes.place, time, timeScale);
  const pairs = buildPairs(problem, routes, stops, nodes, travel);
  const base = { problem, stopCount: problem.stops.length, routeCount: routes.shiftOf.length, timeScale };
  return { ...base, ...travel, ...routes, ...nodes, ...stops, ...pairs, ...buildNeighbours(travel, nodes, stops, routes, pairs, timeScale) };
}

type TimeOf = (minutes: number) => number;
type NodeTables = Pick<RouteModel, 'place' | 'opens' | 'closes' | 'service'>;

/**
 * The places in an order in which each is followed by the nearest one left: what a stop and a route have to do with is
 * then close together in a row of a table. O(places²).
 */
function nearOrder(minutes: readonly (readonly number[])[]): number[] {
  const left = [...minutes.keys()];
  const order: number[] = [];
  let from = 0;
  while (left.length > 0) {
    let nearest = 0;
    for (let at = 1; at < left.length; at++) {
      if (minutes[from]![left[at]!]! < minutes[from]![left[nearest]!]!) nearest = at;
    }
    from = left[nearest]!;
    order.push(from);
    left[nearest] = left.at(-1)!;
    left.pop();
  }
  return order;
}

function buildTravel(problem: RouteProblem, order: readonly number[], time: TimeOf): TravelTables {
  const placeCount = order.length;
  const minutes = flatten(problem.travelMinutes, order, time);
  const cost = flatten(problem.travelCost ?? problem.travelMinutes, order, (price) => price);
  const minutesInto = transpose(minutes, placeCount);
  return { placeCount, minutes, minutesInto, cost, costInto: transpose(cost, placeCount) };
}

function flatten(matrix: readonly (readonly number[])[], order: readonly number[], map: TimeOf): Float64Array {
  const size = order.length;
  const flat = new Float64Array(size * size);
  order.forEach((from, row) => order.forEach((to, column) => (flat[row * size + column] = map(matrix[from]![to]!))));
  return flat;
}

/** A symmetric table is its own twin: half as much to keep near the processor. */
function transpose(flat: Float64Array, size: number): Float64Array {
  const turned = new Float64Array(flat.length);
  for (let from = 0; from < size; from++) {
    for (let to = 0; to < size; to++) turned[to * size + from] = flat[from * size + to]!;
  }
  return turned.every((value, at) => value === flat[at]) ? flat : turned;
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
    noneAlike: classes.size === slots.length,
  };
}

function buildNodes(problem: RouteProblem, order: readonly number[], routes: RouteTables, time: TimeOf): NodeTables {
  const rankOf = new Int32Array(order.length);
  order.forEach((place, rank) => (rankOf[place] = rank));
  const drivers = Array.from(routes.technicianOf, (technician) => problem.technicians[technician]!);
  const shifts = drivers.map((technician, route) => technician.shifts[routes.shiftOf[route]!]!);
  const twice = [...shifts, ...shifts];
  return {
    place: Int32Array.from([
      ...problem.stops.map((stop) => rankOf[stop.place]!),
      ...drivers.map((technician) => rankOf[technician.home]!),
      ...drivers.map((technician) => rankOf[technician.end ?? technician.home]!),
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
