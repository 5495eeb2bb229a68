import { priceMoves } from '@lintel/engine';
import type { MovePrice, PlannedRoute, RouteProblem } from '@lintel/engine';
import { laneKey, OUT } from './lanes.js';
import type { Lane } from './lanes.js';

/** Every place a visit can be put, by lane and in order, with its price. */
export interface Offers {
  byLane: ReadonlyMap<string, readonly MovePrice[]>;
  /** Where the visit is now. */
  now: MovePrice;
  /** How long the pricing took. */
  pricedMs: number;
}

export const laneOfPrice = ({ technician, shift }: MovePrice): string => (technician === null ? OUT : laneKey(technician, shift!));
export const allowed = (price: MovePrice): boolean => price.breaches.length === 0;

/** Prices all places of a visit at once; null where the plan's problem does not know it. */
export function priceOffers(problem: RouteProblem, routes: readonly PlannedRoute[], visitId: string): Offers | null {
  const began = performance.now();
  const prices = priceMoves(problem, routes, visitId, true);
  const pricedMs = performance.now() - began;
  if ('faults' in prices) return null;
  const byLane = new Map<string, MovePrice[]>();
  for (const price of prices) byLane.set(laneOfPrice(price), [...(byLane.get(laneOfPrice(price)) ?? []), price]);
  const route = routes.find(({ stops }) => stops.includes(visitId));
  const now = route ? byLane.get(laneKey(route.technician, route.shift))?.[route.stops.indexOf(visitId)] : byLane.get(OUT)?.[0];
  return now ? { byLane, now, pricedMs } : null;
}

/** The cheapest place of a lane that is allowed; where none is, its first with what stands against it. */
export function bestOf(prices: readonly MovePrice[]): MovePrice | undefined {
  return prices.filter(allowed).reduce<MovePrice | undefined>((best, price) => (best && best.difference <= price.difference ? best : price), undefined) ?? prices[0];
}

/** Places that are allowed and are not the present one, cheapest first, one a lane. */
export function cheapest({ byLane, now }: Offers, most: number): MovePrice[] {
  return [...byLane.values()]
    .flatMap((prices) => prices.filter((price) => allowed(price) && price !== now && price.technician !== null).sort((a, b) => a.difference - b.difference).slice(0, 1))
    .sort((a, b) => a.difference - b.difference)
    .slice(0, most);
}

export type Step = 'place-before' | 'place-after' | 'day-before' | 'day-after' | 'technician-before' | 'technician-after' | 'out';

/** The place that a key leads to from another. */
export function stepTo({ byLane }: Offers, lanes: readonly Lane[], from: MovePrice, step: Step): MovePrice {
  const inLane = byLane.get(laneOfPrice(from)) ?? [];
  if (step === 'out') return byLane.get(OUT)?.[0] ?? from;
  if (step === 'place-before' || step === 'place-after') return inLane[inLane.indexOf(from) + (step === 'place-after' ? 1 : -1)] ?? from;
  const next = nextLane(lanes, from, step);
  return (next && bestOf(byLane.get(next.key) ?? [])) ?? from;
}

function nextLane(lanes: readonly Lane[], from: MovePrice, step: Step): Lane | undefined {
  const index = lanes.findIndex(({ key }) => key === laneOfPrice(from));
  if (index < 0) return lanes[0];
  const forward = step.endsWith('after');
  const here = lanes[index]!;
  if (step.startsWith('day')) return lanes[index + (forward ? 1 : -1)];
  const others = forward ? lanes.slice(index + 1) : lanes.slice(0, index).reverse();
  const other = others.find(({ route }) => route.technicianId !== here.route.technicianId);
  return lanes.find(({ route }) => route.technicianId === other?.route.technicianId && route.onDate === here.route.onDate) ?? other;
}
