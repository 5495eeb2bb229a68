import chiSquareCdf from '@stdlib/stats-base-dists-chisquare-cdf';
import normalCdf from '@stdlib/stats-base-dists-normal-cdf';
import { checkHistories } from './checkHistories.js';
import type { RepairHistory } from './types.js';

/**
 * Laplace's test of a trend, units observed for fixed times, given how many events each had: if the rate is
 * steady, events fall evenly over each unit's time, and z = (Σ t − Σ nᵢ Tᵢ/2) / √(Σ nᵢ Tᵢ²/12) is about
 * standard normal. Above 0: more of them late, getting worse. `pValue` is two-sided. Null without an event.
 * O(events). @throws RangeError as `checkHistories`.
 */
export function laplaceTest(histories: readonly RepairHistory[]): { z: number; pValue: number } | null {
  checkHistories(histories);
  let [sum, variance] = [0, 0];
  for (const { events, end } of histories) {
    for (const at of events) sum += at - end / 2;
    variance += (events.length * end * end) / 12;
  }
  if (variance === 0) return null;
  const z = sum / Math.sqrt(variance);
  return { z, pValue: 2 * normalCdf(-Math.abs(z), 0, 1) };
}

/**
 * The trend test of MIL-HDBK-189, pooled: 2 Σ ln(Tᵢ/t) is χ² with twice as many degrees as events if the rate
 * is steady. `below` is the chance of less: near 0 when getting worse, near 1 when getting better. Null without
 * an event. O(events).
 * @throws RangeError as `checkHistories`.
 */
export function logRatioTest(
  histories: readonly RepairHistory[],
): { chiSquare: number; degrees: number; below: number } | null {
  checkHistories(histories);
  let [chiSquare, degrees] = [0, 0];
  for (const { events, end } of histories) {
    for (const at of events) chiSquare += 2 * Math.log(end / at);
    degrees += 2 * events.length;
  }
  return degrees === 0 ? null : { chiSquare, degrees, below: chiSquareCdf(chiSquare, degrees) };
}

/**
 * Reversals among the times between one unit's events: how many pairs have the later time the longer. Half of
 * the pairs if the rate is steady, more when getting better. O(n²).
 */
export function reverseArrangements(between: readonly number[]): { reversals: number; pairs: number } {
  let reversals = 0;
  for (let i = 0; i < between.length; i++) {
    for (let j = i + 1; j < between.length; j++) if (between[j]! > between[i]!) reversals++;
  }
  return { reversals, pairs: (between.length * (between.length - 1)) / 2 };
}
