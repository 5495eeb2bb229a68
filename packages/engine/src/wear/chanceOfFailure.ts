import { cumulativeHazard } from './survivalTable.js';
import type { WearModel } from './types.js';

/**
 * Chance that a part which runs at `age` fails within `further` more, both in the model's unit: 1 − S̄(age +
 * further)/S̄(age).
 *
 * S̄ is averaged over the laws before dividing, and that is right: that the part has come to `age` is evidence
 * by which long-lived laws gain weight, wₖ' ∝ wₖ Sₖ(age), and Σ wₖ' Sₖ(age + x)/Sₖ(age) is just S̄(age +
 * x)/S̄(age). O(1).
 * @throws RangeError if `age` or `further` is not at least 0.
 */
export function chanceOfFailure(model: WearModel, age: number, further: number): number {
  if (!(age >= 0)) throw new RangeError(`age must be 0 or more, not ${age}`);
  if (!(further >= 0)) throw new RangeError(`further must be 0 or more, not ${further}`);
  return -Math.expm1(cumulativeHazard(model.table, age) - cumulativeHazard(model.table, age + further));
}
