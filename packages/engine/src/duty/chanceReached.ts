import normalCdf from '@stdlib/stats-base-dists-normal-cdf';
import { dutyDays, HORIZON_DAYS, MIN_LEVEL, relativeVariance } from './cycleSpread.js';
import type { DutyModel } from './types.js';

/**
 * Chance that the door makes at least `cyclesToGo` further cycles within `daysAhead` days of the model's
 * `asOf`: 0 to 1. Agrees with cyclesAhead and daysUntil. Rises with `daysAhead`, but for some thousandths
 * near certainty where the duty is hardly known. `daysAhead` beyond HORIZON_DAYS is answered as HORIZON_DAYS.
 * O(1).
 * @throws RangeError if `cyclesToGo` is not a number or `daysAhead` not at least 0.
 */
export function chanceReached(model: DutyModel, cyclesToGo: number, daysAhead: number): number {
  if (Number.isNaN(cyclesToGo)) throw new RangeError('cyclesToGo must be a number');
  if (!(daysAhead >= 0)) throw new RangeError(`daysAhead must be 0 or more, not ${daysAhead}`);
  if (cyclesToGo <= 0) return 1;
  if (daysAhead === 0) return 0;
  const days = Math.min(daysAhead, HORIZON_DAYS);
  const ninth = relativeVariance(model, days) / 9;
  const mean = Math.max(model.level, MIN_LEVEL) * dutyDays(model, days);
  return normalCdf((1 - ninth - Math.cbrt(cyclesToGo / mean)) / Math.sqrt(ninth), 0, 1);
}
