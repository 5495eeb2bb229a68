import type { Quantiles } from '../shared/quantiles.js';
import { cyclesAtDeviate, HORIZON_DAYS, Z90 } from './cycleSpread.js';
import type { DutyModel } from './types.js';

/**
 * How many further cycles will the door make in the `daysAhead` days after the model's `asOf`?
 *
 * Not rounded. `daysAhead` in days of 24 h, from 0 (answer 0) to HORIZON_DAYS; beyond is answered as
 * HORIZON_DAYS. The three numbers never fall as `daysAhead` grows. The cycles since the last reading, already
 * carried into `lifetimeCycles`, are not in it. O(1).
 * @throws RangeError if `daysAhead` is not a number of at least 0.
 */
export function cyclesAhead(model: DutyModel, daysAhead: number): Quantiles {
  if (!(daysAhead >= 0)) throw new RangeError(`daysAhead must be 0 or more, not ${daysAhead}`);
  const days = Math.min(daysAhead, HORIZON_DAYS);
  return {
    p10: cyclesAtDeviate(model, days, -Z90),
    p50: cyclesAtDeviate(model, days, 0),
    p90: cyclesAtDeviate(model, days, Z90),
  };
}
