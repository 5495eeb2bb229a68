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

/** A colder start keeps the days of a poor first plan; at a colder end nothing moves any more. */
const HOTTEST = 3;
const COLDEST = 0.05;
/**
 * Where a fresh start ends: by then it is settled who is where on which day, and the price tells the good starts. Of starts
 * of 40,000 iterations at 400 stops, how dear one was here said almost all about how dear it ended (spread among
 * starts 1.1 %, among ends of one start 0.2 %).
 */
const SETTLED = 0.4;
const STARTS_SHARE = 0.8;
/** Of one start: shorter ones give days too poor to choose among. */
const ITERATIONS_PER_STOP = 125;
/** With fewer to choose among, one long start is as good (measured at 250 iterations a stop in all). */
const FEWEST_STARTS = 4;

/**
 * Where many stops meet routes that all differ and days are priced: several fresh starts, cooled until they are settled,
 * and then the best of them to its end. With a small budget one start takes all of it. (Without prices of days
 * several starts were level at 750 iterations a stop and worse at 1,900.)
 */
export function legsOfStarts(iterationsPerStop: number): readonly AnnealingLeg[] {
  const starts = Math.floor(iterationsPerStop / ITERATIONS_PER_STOP);
  if (starts < FEWEST_STARTS) return [{ until: 1, hottest: HOTTEST, coldest: COLDEST, fromBest: false }];
  const fresh = Array.from({ length: starts }, (_, index) => ({
    until: (STARTS_SHARE * (index + 1)) / starts, hottest: HOTTEST, coldest: SETTLED, fromBest: false,
  }));
  return [...fresh, { until: 1, hottest: SETTLED, coldest: COLDEST, fromBest: true }];
}
