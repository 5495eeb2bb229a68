import type { SurvivalTable } from './types.js';

const NODES = 320;
/**
 * Cumulative hazards of a typical law at the ends of the table; beyond them ln H goes on as a straight line of
 * ln age.
 */
const LOWEST_HAZARD = 1e-6;
const HIGHEST_HAZARD = 50;
/** Laws of less weight do not widen the table; they still count in its values. */
const NEGLIGIBLE_WEIGHT = 1e-4;
/** Newton steps on a cubic that is nearly straight: the third is below rounding. */
const NEWTON_STEPS = 4;

/**
 * Tabulates the survival law averaged over weighted Weibull laws, S̄(t) = Σ wₖ exp(−(t/ηₖ)^βₖ). Values and
 * slopes at the nodes are exact; between them a cubic runs through both (Hermite). O(laws × 320).
 */
export function survivalTable(
  shapes: Float64Array,
  scales: Float64Array,
  weights: Float64Array,
): SurvivalTable {
  let lowest = Infinity;
  let highest = -Infinity;
  let shape = 0;
  for (let k = 0; k < shapes.length; k++) {
    shape += weights[k]! * shapes[k]!;
    if (weights[k]! < NEGLIGIBLE_WEIGHT && shapes.length > 1) continue;
    lowest = Math.min(lowest, Math.log(scales[k]!));
    highest = Math.max(highest, Math.log(scales[k]!));
  }
  const start = lowest + Math.log(LOWEST_HAZARD) / shape;
  const step = (highest + Math.log(HIGHEST_HAZARD) / shape - start) / (NODES - 1);
  const logHazard = new Float64Array(NODES);
  const rise = new Float64Array(NODES);
  const hazards = new Float64Array(shapes.length);
  for (let i = 0; i < NODES; i++) {
    const node = averageAt(start + i * step, shapes, scales, weights, hazards);
    logHazard[i] = Math.log(node.hazard);
    rise[i] = step * node.slope;
  }
  return { start, step, logHazard, rise };
}

/** Cumulative hazard of the averaged law at exp(logAge), and d ln H / d ln age there. */
function averageAt(
  logAge: number,
  shapes: Float64Array,
  scales: Float64Array,
  weights: Float64Array,
  hazards: Float64Array,
): { hazard: number; slope: number } {
  let least = Infinity;
  for (let k = 0; k < shapes.length; k++) {
    const hazard = Math.exp(shapes[k]! * (logAge - Math.log(scales[k]!)));
    hazards[k] = hazard;
    if (weights[k]! > 0 && hazard < least) least = hazard;
  }
  // Survival relative to the longest-lived law, so that it does not underflow; the failed share likewise by
  // expm1.
  let survived = 0;
  let failed = 0;
  let fallen = 0;
  for (let k = 0; k < shapes.length; k++) {
    const part = weights[k]! * Math.exp(least - hazards[k]!);
    survived += part;
    failed -= weights[k]! * Math.expm1(-hazards[k]!);
    if (part > 0) fallen += part * shapes[k]! * hazards[k]!;
  }
  const hazard = failed < 0.5 ? -Math.log1p(-failed) : least - Math.log(survived);
  return { hazard, slope: fallen / (survived * hazard) };
}

/** Cumulative hazard H(age) = −ln S̄(age); 0 at age 0. O(1): one logarithm, one exponential. */
export function cumulativeHazard(table: SurvivalTable, age: number): number {
  if (!(age > 0)) return 0;
  const { logHazard, rise } = table;
  const last = logHazard.length - 1;
  const place = (Math.log(age) - table.start) / table.step;
  if (place <= 0) return Math.exp(logHazard[0]! + rise[0]! * place);
  if (place >= last) return Math.exp(logHazard[last]! + rise[last]! * (place - last));
  const cell = Math.floor(place);
  const x = place - cell;
  const from = logHazard[cell]!;
  const to = logHazard[cell + 1]! - from;
  return Math.exp(from + x * hermite(x, to, rise[cell]!, rise[cell + 1]!));
}

/** The age at which the cumulative hazard is reached; the inverse of `cumulativeHazard`. O(log nodes). */
export function ageAtHazard(table: SurvivalTable, hazard: number): number {
  if (!(hazard > 0)) return 0;
  const { logHazard, rise } = table;
  const last = logHazard.length - 1;
  const target = Math.log(hazard);
  if (target <= logHazard[0]!)
    return Math.exp(table.start + (table.step * (target - logHazard[0]!)) / rise[0]!);
  if (target >= logHazard[last]!) {
    return Math.exp(table.start + table.step * (last + (target - logHazard[last]!) / rise[last]!));
  }
  let cell = 0;
  for (let high = last; high - cell > 1;) {
    const middle = (cell + high) >> 1;
    if (logHazard[middle]! <= target) cell = middle;
    else high = middle;
  }
  const to = logHazard[cell + 1]! - logHazard[cell]!;
  const wanted = target - logHazard[cell]!;
  const left = rise[cell]!;
  const right = rise[cell + 1]!;
  let x = wanted / to;
  for (let step = 0; step < NEWTON_STEPS; step++) {
    const slope = left + x * (2 * (3 * to - 2 * left - right) + x * 3 * (left + right - 2 * to));
    x = Math.min(1, Math.max(0, x - (x * hermite(x, to, left, right) - wanted) / slope));
  }
  return Math.exp(table.start + table.step * (cell + x));
}

/** Cubic through 0 at x = 0 and `to` at x = 1 with slopes `left` and `right`, divided by x. */
function hermite(x: number, to: number, left: number, right: number): number {
  return left + x * (3 * to - 2 * left - right + x * (left + right - 2 * to));
}
