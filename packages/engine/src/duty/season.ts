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
 * Days' worth of average duty between an instant and `days` later under the seasonal factor of a DutyModel: the factor's
 * integral, in closed form. Equals `days` without a season. O(harmonics).
 */
export function seasonalDays(seasonal: readonly number[] | null, from: number, days: number): number {
  if (seasonal === null) return days;
  const start = yearAngle(from);
  const end = start + YEAR_RADIANS_PER_DAY * days;
  let sum = days;
  for (let k = 1; 2 * k <= seasonal.length; k++) {
    const perDay = k * YEAR_RADIANS_PER_DAY;
    const cosine = seasonal[2 * k - 2]!;
    const sine = seasonal[2 * k - 1]!;
    sum += (cosine * (Math.sin(k * end) - Math.sin(k * start)) - sine * (Math.cos(k * end) - Math.cos(k * start))) / perDay;
  }
  return sum;
}
