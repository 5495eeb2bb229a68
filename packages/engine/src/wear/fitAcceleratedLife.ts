import type { NoFit } from './fitWeibull.js';
import { checkLives } from './lives.js';
import type { Lives } from './lives.js';
import { fitLocationScale } from './locationScale.js';
import type { CovariateLives, CovariatePoints, LifeLaw } from './locationScale.js';

/**
 * ln(age) = intercept + slope · covariate + spread · Z. For a Weibull law shape = 1/spread, scale =
 * exp(intercept + ...).
 */
export interface AcceleratedLifeFit {
  law: LifeLaw;
  intercept: number;
  slope: number;
  spread: number;
  interceptError: number;
  slopeError: number;
  /** Of ln(spread). */
  logSpreadError: number;
  logLikelihood: number;
  /**
   * exp(slope): by how much lives are longer when the covariate is greater by 1, as between two levels 0 and 1.
   */
  lifeFactor: number;
}

/**
 * Accelerated-life regression on one covariate, by maximum likelihood: two levels (cooler 0, freezer 1) or a
 * measure. Lives may be right-censored and left-truncated. O(lives) a step, some ten steps.
 * @returns the fit, or a reason: fewer than two failures, a covariate that does not vary, or no settled
 * optimum.
 * @throws RangeError as `checkLives`, or if `covariate` is not as long or not finite.
 */
export function fitAcceleratedLife(
  lives: Lives,
  covariate: Float64Array,
  law: LifeLaw,
): AcceleratedLifeFit | NoFit | { none: 'covariate-does-not-vary' | 'no-optimum' } {
  checkLives(lives);
  if (covariate.length !== lives.age.length) {
    throw new RangeError(`covariate has ${covariate.length} rows, age ${lives.age.length}`);
  }
  const bad = covariate.findIndex((value) => !Number.isFinite(value));
  if (bad >= 0) throw new RangeError(`covariate in row ${bad + 1} must be a number, not ${covariate[bad]}`);
  if (lives.event.reduce((sum, event, i) => sum + event * (lives.weight ? lives.weight[i]! : 1), 0) < 2) {
    return { none: 'too-few-failures' };
  }
  // In its own units the covariate may hardly vary against the intercept (1/kelvin): centred and scaled, and
  // turned back.
  const mean = covariate.reduce((sum, value) => sum + value, 0) / covariate.length;
  const deviation = Math.sqrt(
    covariate.reduce((sum, value) => sum + (value - mean) ** 2, 0) / covariate.length,
  );
  if (!(deviation > 1e-12 * Math.abs(mean))) return { none: 'covariate-does-not-vary' };
  const columns = [
    new Float64Array(covariate.length).fill(1),
    covariate.map((value) => (value - mean) / deviation),
  ];
  const parts = splitLives(lives, columns);
  const fit = fitLocationScale(parts, law, startOf(parts));
  if (fit === null) return { none: 'no-optimum' };
  const [level, scaledSlope, logSpread] = fit.coefficients as [number, number, number];
  const slope = scaledSlope / deviation;
  const shift = mean / deviation;
  const [varLevel, varSlope, both] = [fit.covariance[0]![0]!, fit.covariance[1]![1]!, fit.covariance[0]![1]!];
  return {
    law,
    intercept: level - slope * mean,
    slope,
    spread: Math.exp(logSpread),
    interceptError: Math.sqrt(varLevel - 2 * shift * both + shift * shift * varSlope),
    slopeError: Math.sqrt(varSlope) / deviation,
    logSpreadError: Math.sqrt(fit.covariance[2]![2]!),
    logLikelihood: fit.logLikelihood,
    lifeFactor: Math.exp(slope),
  };
}

function splitLives(lives: Lives, columns: Float64Array[]): CovariateLives {
  const { age, event, entry, weight } = lives;
  const pick = (ages: Float64Array, belongs: (i: number) => boolean): CovariatePoints => {
    const rows = Uint32Array.from(age.keys()).filter((i) => ages[i]! > 0 && belongs(i));
    const take = (values: Float64Array) => Float64Array.from(rows, (i) => values[i]!);
    return {
      logAge: take(ages).map(Math.log),
      weight: weight ? take(weight) : new Float64Array(rows.length).fill(1),
      columns: columns.map(take),
    };
  };
  return {
    failed: pick(age, (i) => event[i] === 1),
    suspended: pick(age, (i) => event[i] === 0),
    entered: pick(entry ?? age, () => entry !== undefined),
  };
}

/** Least squares of the log ages, failed or not, on the scaled covariate, and their scatter about it. */
function startOf(parts: CovariateLives): number[] {
  let [count, level, slope, squares] = [0, 0, 0, 0];
  for (const { logAge, columns } of [parts.failed, parts.suspended]) {
    logAge.forEach((value, i) => {
      const x = columns[1]![i]!;
      count++;
      level += value;
      slope += value * x;
      squares += x * x;
    });
  }
  level /= count;
  slope /= squares;
  let scatter = 0;
  for (const { logAge, columns } of [parts.failed, parts.suspended]) {
    logAge.forEach((value, i) => (scatter += (value - level - slope * columns[1]![i]!) ** 2));
  }
  return [level, slope, 0.5 * Math.log(Math.max(scatter / count, 1e-4))];
}
