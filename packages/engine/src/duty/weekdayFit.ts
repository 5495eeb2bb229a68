import { DAY_MS } from './days.js';
import type { CycleHistory } from './types.js';

/** A weekday profile needs three weeks of daily readings; half a year is looked at. */
const MIN_DAYS_SEEN = 21;
const MAX_DAYS_BACK = 182;

/** Even days counted in for each weekday, which draws a short profile towards even. */
const EVEN_DAYS = 1;

/**
 * Weekday profile of the last half year of (near-)daily readings, as in DutyModel.weekday; null where
 * readings are not daily. An increment counts for the day in which its middle lies, counted back from the
 * last reading. O(n of half a year).
 */
export function fitWeekdays(history: CycleHistory, readings: number): number[] | null {
  const { at, cycles, estimated } = history;
  if (readings < MIN_DAYS_SEEN + 1) return null;
  const origin = at[readings - 1]!;
  const sums = new Float64Array(7);
  const days = new Float64Array(7);
  let seen = 0;
  let total = 0;
  for (let index = readings - 1; index > 0; index--) {
    const before = at[index - 1]!;
    if (origin - before > MAX_DAYS_BACK * DAY_MS) break;
    const length = (at[index]! - before) / DAY_MS;
    if (length < 0.7 || length > 1.3 || estimated[index] === 1) continue;
    const back = (origin - 0.5 * (before + at[index]!)) / DAY_MS;
    const slot = 6 - (Math.floor(back) % 7);
    sums[slot]! += cycles[index]! - cycles[index - 1]!;
    days[slot]! += length;
    total += cycles[index]! - cycles[index - 1]!;
    seen += length;
  }
  if (seen < MIN_DAYS_SEEN || total <= 0) return null;
  const mean = total / seen;
  const profile: number[] = [];
  let profileSum = 0;
  for (let slot = 0; slot < 7; slot++) {
    const factor = (sums[slot]! / mean + EVEN_DAYS) / (days[slot]! + EVEN_DAYS);
    profile.push(factor);
    profileSum += factor;
  }
  return profile.map((factor) => (factor * 7) / profileSum);
}
