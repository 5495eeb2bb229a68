import { DAY_MS } from './days.js';

/** Mean Gregorian year. */
const YEAR_DAYS = 365.2425;

/** The angle 2πθ of an instant (milliseconds) in the year. */
export function yearAngle(at: number): number {
  return ((2 * Math.PI) / (YEAR_DAYS * DAY_MS)) * at;
}

/** Radians that the season advances a day. */
export const YEAR_RADIANS_PER_DAY = (2 * Math.PI) / YEAR_DAYS;

/**
 * Days' worth of average duty between an instant and `days` later under the seasonal factor of a DutyModel:
 * the factor's integral, in closed form. Equals `days` without a season. O(harmonics).
 */
export function seasonalDays(seasonal: readonly number[] | null, from: number, days: number): number {
  if (seasonal === null) return days;
  const start = yearAngle(from);
  const end = start + YEAR_RADIANS_PER_DAY * days;
  const sineStart = Math.sin(start);
  const cosineStart = Math.cos(start);
  const sineEnd = Math.sin(end);
  const cosineEnd = Math.cos(end);
  // Sine and cosine of the multiple angles by addition theorem: four calls in all instead of four a harmonic.
  let [s0, c0, s1, c1] = [sineStart, cosineStart, sineEnd, cosineEnd];
  let sum = days;
  for (let k = 1; 2 * k <= seasonal.length; k++) {
    const perDay = k * YEAR_RADIANS_PER_DAY;
    sum += (seasonal[2 * k - 2]! * (s1 - s0) - seasonal[2 * k - 1]! * (c1 - c0)) / perDay;
    [s0, c0] = [s0 * cosineStart + c0 * sineStart, c0 * cosineStart - s0 * sineStart];
    [s1, c1] = [s1 * cosineEnd + c1 * sineEnd, c1 * cosineEnd - s1 * sineEnd];
  }
  return sum;
}
