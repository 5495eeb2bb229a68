import type { PairTables, RouteModel, RouteTables, StopTables, TravelTables } from './model.js';

/** Longest list of neighbours a stop: beyond it a string removal hardly ever looks. */
const MOST_NEIGHBOURS = 256;
/** Weights of a minute of waiting and of a minute too late beside travel (Vidal et al. 2013: 0.2 and 1). */
const WAITING_WEIGHT = 0.2;
const LATE_WEIGHT = 1;
/** How many nearest stops set the cost unit. */
const UNIT_NEIGHBOURS = 10;
/**
 * Share of the price of a day's delay that counts in the cost unit: where steps cost little beside it, a search at their
 * temperature never moves a stop to another day (plans of a priced week of 400 stops came out 2 to 3 % better).
 */
const DELAY_SHARE = 0.5;
const DAY_MINUTES = 1440;

type NodeTimes = Pick<RouteModel, 'place' | 'service'>;

/**
 * Lists for every stop its neighbours by travel price plus priced waiting and lateness between their windows, in the
 * better of both directions, itself first. O(stops² · (windows² + log stops)).
 */
export function buildNeighbours(
  travel: TravelTables,
  nodes: NodeTimes,
  stops: StopTables,
  routes: RouteTables,
  pairs: PairTables,
  timeScale: number,
): Pick<RouteModel, 'neighbours' | 'neighbourCount' | 'costUnit'> {
  const count = stops.windowOf.length - 1;
  const neighbourCount = Math.min(count, MOST_NEIGHBOURS);
  const neighbours = new Int32Array(count * neighbourCount);
  const allMinutes = sum(travel.minutes);
  const pricePerMinute = allMinutes > 0 ? sum(travel.cost) / allMinutes : 0;
  const farness = new Float64Array(count);
  let unitSum = 0;
  for (let stop = 0; stop < count; stop++) {
    for (let other = 0; other < count; other++) {
      farness[other] =
        other === stop
          ? -Infinity
          : Math.min(
              stepPrice(travel, nodes, stops, stop, other, pricePerMinute),
              stepPrice(travel, nodes, stops, other, stop, pricePerMinute),
            );
    }
    const order = Array.from(farness.keys()).sort((one, two) => farness[one]! - farness[two]! || one - two);
    for (let rank = 0; rank < neighbourCount; rank++) neighbours[stop * neighbourCount + rank] = order[rank]!;
    const nearest = order.slice(1, UNIT_NEIGHBOURS + 1).map((other) => costBetween(travel, nodes, stop, other));
    const step = nearest.reduce((total, price) => total + price, 0) / Math.max(1, nearest.length);
    const delay = delayPrice(stops, stop, timeScale) + shiftStep(routes, pairs, stop);
    unitSum += Math.max(step, DELAY_SHARE * Math.min(delay, stops.unservedPrice[stop]!));
  }
  return { neighbours, neighbourCount, costUnit: count > 0 ? unitSum / count : 0 };
}

/** What it costs to start a stop a day later, once it is late. */
function delayPrice(stops: StopTables, stop: number, timeScale: number): number {
  return stops.latePerMinute[stop]! * timeScale * DAY_MINUTES;
}

/** What it costs or saves on average to have a stop one shift of the same person later. */
function shiftStep({ technicianOf }: RouteTables, { shiftPrice }: PairTables, stop: number): number {
  if (shiftPrice === null) return 0;
  const row = stop * technicianOf.length;
  let total = 0;
  let steps = 0;
  for (let route = 1; route < technicianOf.length; route++) {
    if (technicianOf[route] !== technicianOf[route - 1]) continue;
    total += Math.abs(shiftPrice[row + route]! - shiftPrice[row + route - 1]!);
    steps++;
  }
  return steps > 0 ? total / steps : 0;
}

function sum(values: Float64Array): number {
  return values.reduce((total, value) => total + value, 0);
}

function costBetween(travel: TravelTables, nodes: NodeTimes, from: number, to: number): number {
  return travel.cost[nodes.place[from]! * travel.placeCount + nodes.place[to]!]!;
}

function stepPrice(
  travel: TravelTables,
  nodes: NodeTimes,
  stops: StopTables,
  from: number,
  to: number,
  pricePerMinute: number,
): number {
  const minutes = travel.minutes[nodes.place[from]! * travel.placeCount + nodes.place[to]!]!;
  const step = nodes.service[from]! + minutes;
  let least = Infinity;
  for (let a = stops.windowOf[from]!; a < stops.windowOf[from + 1]!; a++) {
    for (let b = stops.windowOf[to]!; b < stops.windowOf[to + 1]!; b++) {
      const waiting = Math.max(0, stops.windowFrom[b]! - (stops.windowTo[a]! + step));
      const late = Math.max(0, stops.windowFrom[a]! + step - stops.windowTo[b]!);
      least = Math.min(least, WAITING_WEIGHT * waiting + LATE_WEIGHT * late);
    }
  }
  return costBetween(travel, nodes, from, to) + least * pricePerMinute;
}
