import normalQuantile from '@stdlib/stats-base-dists-normal-quantile';
import { checkHistories } from './checkHistories.js';
import type { RepairHistory } from './types.js';

/** Steps of a mean cumulative function, at each age with an event, in order. Arrays of one length. */
export interface CumulativeSteps {
  age: Float64Array;
  /** Units under observation at the age, and their events at it. */
  atRisk: Float64Array;
  events: Float64Array;
  /** Mean number of events of a unit by the age. */
  mean: Float64Array;
  /** Standard error that holds whatever the process of the events (Lawless & Nadeau 1995). */
  error: Float64Array;
  /** Standard error if they came as a Poisson process: √Σ d/n². */
  poissonError: Float64Array;
  /** Bounds by the robust error, on the logarithm, so that they stay above 0. */
  low: Float64Array;
  high: Float64Array;
}

/**
 * Mean number of repairs of a unit against age, from many units observed for different times (Nelson 1995):
 * each step adds the events at an age over the units then under observation; one whose observation ends at that
 * age still counts. O(n log n) over events and units. @throws RangeError as `checkHistories`.
 */
export function meanCumulative(histories: readonly RepairHistory[], confidence = 0.95): CumulativeSteps {
  checkHistories(histories);
  const events = histories
    .flatMap((history, unit) => history.events.map((age) => ({ age, unit })))
    .sort((a, b) => a.age - b.age);
  const order = histories.map((_, unit) => unit).sort((a, b) => histories[a]!.end - histories[b]!.end);
  const deviate = normalQuantile(0.5 + confidence / 2, 0, 1);
  // The robust variance is Σ over units of (own events / n − mean events / n)², each sum up to the age or the
  // unit's end. Own sums change only with own events, the other sum is one for all units still observed: so
  // sums of squares suffice.
  const own = new Float64Array(histories.length);
  let [count, sum, squares, ended] = [histories.length, 0, 0, 0];
  let [expected, mean, poisson] = [0, 0, 0];
  const rows: number[][] = [];
  for (let k = 0, gone = 0; k < events.length;) {
    const at = events[k]!.age;
    for (; gone < order.length && histories[order[gone]!]!.end < at; gone++) {
      const value = own[order[gone]!]!;
      ended += (value - expected) ** 2;
      count--;
      sum -= value;
      squares -= value * value;
    }
    const first = k;
    for (; k < events.length && events[k]!.age === at; k++) {
      const { unit } = events[k]!;
      const value = own[unit]! + 1 / count;
      sum += value - own[unit]!;
      squares += value * value - own[unit]! * own[unit]!;
      own[unit] = value;
    }
    const here = k - first;
    expected += here / count / count;
    mean += here / count;
    poisson += here / (count * count);
    const variance = ended + squares - 2 * expected * sum + count * expected * expected;
    const error = Math.sqrt(Math.max(0, variance));
    const factor = Math.exp((deviate * error) / mean);
    rows.push([at, count, here, mean, error, Math.sqrt(poisson), mean / factor, mean * factor]);
  }
  const column = (c: number) => Float64Array.from(rows, (row) => row[c]!);
  return {
    age: column(0),
    atRisk: column(1),
    events: column(2),
    mean: column(3),
    error: column(4),
    poissonError: column(5),
    low: column(6),
    high: column(7),
  };
}
