import { cumulativeHazard } from './survivalTable.js';
import type { WearModel } from './types.js';

/**
 * Chance that a new part reaches `age` (in the model's unit): S̄(age) = Σ wₖ exp(−(age/ηₖ)^βₖ), 1 at age 0 and
 * before. From the table, to about 1e-7. O(1).
 */
export function survival(model: WearModel, age: number): number {
  return Math.exp(-cumulativeHazard(model.table, age));
}
