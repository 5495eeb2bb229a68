import { survivalTable } from './survivalTable.js';
import type { AgeUnit, LifeRating, WearModel } from './types.js';

/** Days in a mean Julian month (365.25 / 12), in which ratings in months are understood. */
export const DAYS_PER_MONTH = 30.4375;

/**
 * A normal law on an even grid of this half width loses 7e-6 of its mass; the grid rule itself is then as
 * exact.
 */
const HALF_WIDTH = 4.5;
const SHAPE_NODES = 11;
const LIFE_NODES = 25;
/** −ln 0.9: the cumulative hazard at which one in ten has failed. */
const HAZARD_B10 = -Math.log(0.9);

/**
 * The wear model of a kind of part before any of its own lives is known: ln(B10) normal around the rating,
 * ln(shape) normal around the usual shape, independently, laid out on a grid of 25 × 11 Weibull laws. Ages of
 * the model are in cycles if the rating is in cycles, else in days.
 * @throws RangeError naming the field, unless exactly one rating is set, rating and shape are above 0, spreads
 * at least 0.
 */
export function priorModel(rating: LifeRating): WearModel {
  const { unit, b10 } = ratedLife(rating);
  const shapeGrid = logNormalGrid(rating.shape, rating.shapeSpread, SHAPE_NODES);
  const lifeGrid = logNormalGrid(b10, rating.ratingSpread, LIFE_NODES);
  const laws = shapeGrid.values.length * lifeGrid.values.length;
  const shapes = new Float64Array(laws);
  const scales = new Float64Array(laws);
  const weights = new Float64Array(laws);
  let k = 0;
  for (let i = 0; i < shapeGrid.values.length; i++) {
    const shape = shapeGrid.values[i]!;
    for (let j = 0; j < lifeGrid.values.length; j++, k++) {
      shapes[k] = shape;
      scales[k] = lifeGrid.values[j]! * HAZARD_B10 ** (-1 / shape);
      weights[k] = shapeGrid.weights[i]! * lifeGrid.weights[j]!;
    }
  }
  return { unit, shapes, scales, weights, table: survivalTable(shapes, scales, weights) };
}

/** The rated B10 and the unit that it is in. @throws RangeError naming the field. */
export function ratedLife(rating: LifeRating): { unit: AgeUnit; b10: number } {
  if ((rating.b10Cycles === null) === (rating.b10Months === null)) {
    throw new RangeError('b10Cycles, b10Months: exactly one must be set');
  }
  positive(rating.b10Cycles ?? 1, 'b10Cycles');
  positive(rating.b10Months ?? 1, 'b10Months');
  positive(rating.shape, 'shape');
  notNegative(rating.shapeSpread, 'shapeSpread');
  notNegative(rating.ratingSpread, 'ratingSpread');
  if (rating.b10Cycles !== null) return { unit: 'cycles', b10: rating.b10Cycles };
  return { unit: 'days', b10: rating.b10Months! * DAYS_PER_MONTH };
}

/** Even grid in the logarithm around a median; a single value if the spread is 0. */
function logNormalGrid(
  median: number,
  spread: number,
  nodes: number,
): { values: Float64Array; weights: Float64Array } {
  const count = spread === 0 ? 1 : nodes;
  const values = new Float64Array(count);
  const weights = new Float64Array(count);
  let sum = 0;
  for (let i = 0; i < count; i++) {
    const deviate = count === 1 ? 0 : HALF_WIDTH * ((2 * i) / (count - 1) - 1);
    values[i] = median * Math.exp(spread * deviate);
    weights[i] = Math.exp(-0.5 * deviate * deviate);
    sum += weights[i]!;
  }
  for (let i = 0; i < count; i++) weights[i]! /= sum;
  return { values, weights };
}

function positive(value: number, field: string): void {
  if (!(value > 0 && value < Infinity)) throw new RangeError(`${field} must be above 0, not ${value}`);
}

function notNegative(value: number, field: string): void {
  if (!(value >= 0 && value < Infinity)) throw new RangeError(`${field} must be 0 or more, not ${value}`);
}
