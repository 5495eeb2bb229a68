/** A stretch of the search: its part of the budget, and temperatures in cost units (what a step between near stops costs). */
export interface AnnealingLeg {
  /** Part of the budget at which it ends, 0 … 1. */
  until: number;
  hottest: number;
  coldest: number;
  /** It goes on from the best plan so far; otherwise it begins with nothing. */
  fromBest: boolean;
}

/** Where routes are alike, or stops are few: a fresh start and a re-anneal of the best plan, twice. */
export const ALIKE_LEGS: readonly AnnealingLeg[] = [0.25, 0.5, 0.75, 1].map((until, index) => {
  const fromBest = index % 2 === 1;
  return { until, hottest: fromBest ? 1 : 5, coldest: 0.03, fromBest };
});

/** Of one start alone: a colder one keeps the days of a poor first plan. */
const HOTTEST = 3;
/** At a colder end nothing moves any more. */
const COLDEST = 0.05;
/** Of one start among several, which are short: cooled from 3 on, how dear one is at 2 still told how dear it would end. */
const HOTTEST_OF_STARTS = 8;
/**
 * Where a fresh start ends. How dear one is there tells much of how dear it ends (correlation 0.6 to 0.8, starts of 20,000 and
 * 40,000 iterations at 400 stops), and cooling the best from there finds better plans than choosing later among starts that had more.
 */
const CHOSEN_AT = 1.2;
const STARTS_SHARE = 0.5;
/** Of one start: at 400 stops more of shorter ones did worse. */
const ITERATIONS_PER_STOP = 80;

/** Until the budget is known, any number of starts begins alike. */
export const FIRST_LEG: AnnealingLeg = { until: 1, hottest: HOTTEST_OF_STARTS, coldest: HOTTEST_OF_STARTS, fromBest: false };

/**
 * Where many stops meet routes that all differ and days are priced: several fresh starts, cooled until it shows which is best,
 * and then that one to its end. With a small budget one start takes all of it. (Without prices of days several starts
 * were level at 750 iterations a stop and worse at 1,900.)
 */
export function legsOfStarts(iterationsPerStop: number): readonly AnnealingLeg[] {
  const starts = Math.floor((STARTS_SHARE * iterationsPerStop) / ITERATIONS_PER_STOP);
  if (starts < 2) return [{ until: 1, hottest: HOTTEST, coldest: COLDEST, fromBest: false }];
  const fresh = Array.from({ length: starts }, (_, index) => ({
    until: (STARTS_SHARE * (index + 1)) / starts, hottest: HOTTEST_OF_STARTS, coldest: CHOSEN_AT, fromBest: false,
  }));
  return [...fresh, { until: 1, hottest: CHOSEN_AT, coldest: COLDEST, fromBest: true }];
}
