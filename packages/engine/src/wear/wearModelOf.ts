import { survivalTable } from './survivalTable.js';
import type { AgeUnit, WearModel } from './types.js';

/** The part of a wear model that is worth storing; plain data, storable as JSON. */
export interface StoredWearModel {
  unit: AgeUnit;
  shapes: ArrayLike<number>;
  scales: ArrayLike<number>;
  weights: ArrayLike<number>;
}

/**
 * A wear model from its weighted laws, as stored. Weights are brought to a sum of 1. O(laws × 320), a few
 * milliseconds.
 * @throws RangeError naming the field, unless there is a law, and all are of one length and above 0.
 */
export function wearModelOf(stored: StoredWearModel): WearModel {
  const { unit } = stored;
  const shapes = Float64Array.from(stored.shapes);
  const scales = Float64Array.from(stored.scales);
  const weights = Float64Array.from(stored.weights);
  for (const [field, values] of Object.entries({ shapes, scales, weights })) {
    if (values.length === 0 || values.length !== shapes.length)
      throw new RangeError(`${field} must hold one value a law`);
    if (!values.every((value) => value > 0 && value < Infinity))
      throw new RangeError(`${field} must be above 0`);
  }
  const sum = weights.reduce((total, weight) => total + weight, 0);
  for (let k = 0; k < weights.length; k++) weights[k]! /= sum;
  return { unit, shapes, scales, weights, table: survivalTable(shapes, scales, weights) };
}

/** What to store of a model. */
export function storedModel(
  model: WearModel,
): StoredWearModel & { shapes: number[]; scales: number[]; weights: number[] } {
  return {
    unit: model.unit,
    shapes: [...model.shapes],
    scales: [...model.scales],
    weights: [...model.weights],
  };
}
