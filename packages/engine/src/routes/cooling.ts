import type { RouteModel } from './model.js';

/** A part of the search's budget: where it starts from, and how hot it is, in cost units, at its start and its end. */
export interface Cooling {
  /** Part of the budget that is behind us at its end, 0 … 1. */
  until: number;
  /** From nothing, or from the best plan so far. */
  fresh: boolean;
  hottest: number;
  coldest: number;
}

/** Fresh starts and anneals again from the best plan in turn. */
const IN_TURN: readonly Cooling[] = [0, 1, 2, 3].map((cycle) => ({
  until: (cycle + 1) / 4,
  fresh: cycle % 2 === 0,
  hottest: cycle % 2 === 0 ? 5 : 1,
  coldest: 0.03,
}));

/**
 * First many short fresh starts, then from the best of them, with the routes of all of them at hand (`RouteAdoption`).
 * How good a short start comes out is luck; eight of them and one longer anneal came out about 0.9 % better at 400 stops
 * and 40 person's days than one long anneal in the same iterations, half of that by adopting routes.
 */
const FRESH_STARTS = 8;
const FRESH_SHARE = 0.6;
const MANY_THEN_ONE: readonly Cooling[] = [
  ...Array.from({ length: FRESH_STARTS }, (_, start) => ({
    until: (FRESH_SHARE * (start + 1)) / FRESH_STARTS,
    fresh: true,
    hottest: 3,
    coldest: 0.1,
  })),
  { until: 1, fresh: false, hottest: 0.7, coldest: 0.05 },
];
const MANY_THEN_ONE_STOPS = 200;

/** Whether the routes of several plans are put together: where no two routes are alike and stops are many. */
export function startsMany(model: RouteModel): boolean {
  return model.noneAlike && model.stopCount > MANY_THEN_ONE_STOPS;
}

/** How the search's budget is spent; the last part ends at 1. */
export function coolingsOf(model: RouteModel): readonly Cooling[] {
  return startsMany(model) ? MANY_THEN_ONE : IN_TURN;
}

/** Temperature in cost units at a fraction of the budget that lies in the part `index`. */
export function temperatureIn(coolings: readonly Cooling[], index: number, fraction: number): number {
  const { until, hottest, coldest } = coolings[index]!;
  const from = index === 0 ? 0 : coolings[index - 1]!.until;
  return hottest * (coldest / hottest) ** Math.min(1, (fraction - from) / (until - from));
}
