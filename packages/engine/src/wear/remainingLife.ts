import type { Quantiles } from '../shared/quantiles.js';
import { ageAtHazard, cumulativeHazard } from './survivalTable.js';
import type { WearModel } from './types.js';

/** −ln(1 − p) for the three quantiles: what the cumulative hazard gains until then. */
const HAZARD_P10 = -Math.log(0.9);
const HAZARD_P50 = Math.LN2;
const HAZARD_P90 = Math.log(10);

/**
 * Remaining life of a part that runs at `age`, in the model's unit: by p10 one in ten of such parts has failed.
 * The law is that of `chanceOfFailure`, turned around. O(log nodes).
 * @throws RangeError if `age` is not at least 0.
 */
export function remainingLife(model: WearModel, age: number): Quantiles {
  if (!(age >= 0)) throw new RangeError(`age must be 0 or more, not ${age}`);
  const hazard = cumulativeHazard(model.table, age);
  const ageAt = (gain: number) => Math.max(0, ageAtHazard(model.table, hazard + gain) - age);
  return { p10: ageAt(HAZARD_P10), p50: ageAt(HAZARD_P50), p90: ageAt(HAZARD_P90) };
}
