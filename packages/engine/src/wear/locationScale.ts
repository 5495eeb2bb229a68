import normalLogCdf from '@stdlib/stats-base-dists-normal-logcdf';
import type { Points } from './lifePoints.js';

/**
 * Laws of ln(age) = location + spread · Z, by the law of Z: smallest extreme value for Weibull, normal for
 * lognormal.
 */
export type LifeLaw = 'weibull' | 'lognormal';

/** Lives with covariates: `columns[c][i]` belongs to `points.logAge[i]`. */
export interface CovariatePoints extends Points {
  columns: Float64Array[];
}

/** Failures, suspensions and entries, all with the same columns. */
export interface CovariateLives {
  failed: CovariatePoints;
  suspended: CovariatePoints;
  entered: CovariatePoints;
}

/** Coefficients of the location (one a column) and, last, ln(spread), with their covariance. */
export interface LocationScaleFit {
  coefficients: number[];
  covariance: number[][];
  logLikelihood: number;
}

/** ln L, its gradient and its Hessian at some coefficients. */
interface Curve {
  value: number;
  gradient: number[];
  hessian: number[][];
}

/** A function of z with its first two derivatives, written into `out`. */
type Term = (z: number, out: Float64Array) => void;

const LN_ROOT_TWO_PI = 0.9189385332046727;
const MAX_STEPS = 100;

const terms: Record<LifeLaw, { logDensity: Term; logSurvival: Term }> = {
  weibull: {
    logDensity: (z, out) => {
      const power = Math.exp(z);
      out[0] = z - power;
      out[1] = 1 - power;
      out[2] = -power;
    },
    logSurvival: (z, out) => {
      const power = Math.exp(z);
      out[0] = -power;
      out[1] = -power;
      out[2] = -power;
    },
  },
  lognormal: {
    logDensity: (z, out) => {
      out[0] = -0.5 * z * z - LN_ROOT_TWO_PI;
      out[1] = -z;
      out[2] = -1;
    },
    logSurvival: (z, out) => {
      const value = normalLogCdf(-z, 0, 1);
      const hazard = Math.exp(-0.5 * z * z - LN_ROOT_TWO_PI - value);
      out[0] = value;
      out[1] = -hazard;
      out[2] = -hazard * (hazard - z);
    },
  },
};

/**
 * Maximum likelihood for a location-scale law of ln(age) with covariates, from a start: Newton's method with
 * steps halved until ln L rises, damped where it is not concave. Null if it does not settle. O(points ×
 * columns²) a step.
 */
export function fitLocationScale(
  lives: CovariateLives,
  law: LifeLaw,
  start: number[],
): LocationScaleFit | null {
  let at = start;
  let curve = likelihoodCurve(lives, law, at);
  for (let step = 0; step < MAX_STEPS; step++) {
    const move = ascent(curve);
    const gain = move.reduce((sum, m, i) => sum + m * curve.gradient[i]!, 0);
    let share = 1;
    let next = curve;
    do {
      next = likelihoodCurve(
        lives,
        law,
        at.map((value, i) => value + share * move[i]!),
      );
      share /= 2;
    } while (!(next.value >= curve.value - 1e-12 * Math.abs(curve.value)) && share > 1e-10);
    if (!Number.isFinite(next.value) || share <= 1e-10) return null;
    at = at.map((value, i) => value + 2 * share * move[i]!);
    curve = next;
    if (gain < 1e-14 * (1 + Math.abs(curve.value))) {
      const covariance = inverse(curve.hessian.map((row) => row.map((value) => -value)));
      return covariance === null ? null : { coefficients: at, covariance, logLikelihood: curve.value };
    }
  }
  return null;
}

/** Newton's step; with growing weight on the gradient until the system is positive definite. */
function ascent(curve: Curve): number[] {
  const size = curve.gradient.length;
  const scale = Math.max(...curve.hessian.map((row, i) => Math.abs(row[i]!)), 1e-300);
  for (let damping = 0; ; damping = damping === 0 ? 1e-4 : damping * 10) {
    const matrix = curve.hessian.map((row, i) =>
      row.map((value, j) => -value + (i === j ? damping * scale : 0)),
    );
    const inverted = inverse(matrix);
    if (inverted === null && damping < 1e8) continue;
    if (inverted === null) return new Array<number>(size).fill(0);
    return inverted.map((row) => row.reduce((sum, value, j) => sum + value * curve.gradient[j]!, 0));
  }
}

function likelihoodCurve(lives: CovariateLives, law: LifeLaw, at: number[]): Curve {
  const size = at.length;
  const curve: Curve = {
    value: 0,
    gradient: new Array<number>(size).fill(0),
    hessian: Array.from({ length: size }, () => new Array<number>(size).fill(0)),
  };
  const { logDensity, logSurvival } = terms[law];
  addTerms(curve, lives.failed, logDensity, 1, at);
  addTerms(curve, lives.suspended, logSurvival, 1, at);
  addTerms(curve, lives.entered, logSurvival, -1, at);
  // A density of the age, not of its logarithm over the spread.
  const { logAge, weight } = lives.failed;
  for (let i = 0; i < logAge.length; i++) {
    curve.value -= weight[i]! * (at[size - 1]! + logAge[i]!);
    curve.gradient[size - 1]! -= weight[i]!;
  }
  return curve;
}

function addTerms(curve: Curve, points: CovariatePoints, term: Term, sign: 1 | -1, at: number[]): void {
  const { logAge, weight, columns } = points;
  const last = columns.length;
  const spread = Math.exp(at[last]!);
  const out = new Float64Array(3);
  // Derivatives of z: −x/spread by a coefficient, −z by ln(spread).
  const slopes = new Float64Array(last + 1);
  for (let i = 0; i < logAge.length; i++) {
    let location = 0;
    for (let c = 0; c < last; c++) {
      location += at[c]! * columns[c]![i]!;
      slopes[c] = -columns[c]![i]! / spread;
    }
    const z = (logAge[i]! - location) / spread;
    slopes[last] = -z;
    term(z, out);
    const scaled = sign * weight[i]!;
    const first = scaled * out[1]!;
    const second = scaled * out[2]!;
    curve.value += scaled * out[0]!;
    for (let c = 0; c <= last; c++) {
      curve.gradient[c]! += first * slopes[c]!;
      const row = curve.hessian[c]!;
      for (let d = 0; d <= last; d++) row[d]! += second * slopes[c]! * slopes[d]!;
      // Second derivatives of z: x/spread by coefficient and ln(spread), z by ln(spread) twice.
      row[last]! -= first * slopes[c]!;
      if (c < last) curve.hessian[last]![c]! -= first * slopes[c]!;
    }
  }
}

/** Inverse of a small symmetric matrix by Gauss–Jordan; null unless it is positive definite. */
function inverse(matrix: number[][]): number[][] | null {
  const size = matrix.length;
  const work = matrix.map((row, i) => [...row, ...row.map((_, j) => (i === j ? 1 : 0))]);
  for (let p = 0; p < size; p++) {
    const pivot = work[p]![p]!;
    // For a symmetric matrix every pivot, taken in order, is positive just if the matrix is positive definite.
    if (!(pivot > 1e-14 * Math.abs(matrix[p]![p]!))) return null;
    for (let j = 0; j < 2 * size; j++) work[p]![j]! /= pivot;
    for (let i = 0; i < size; i++) {
      if (i === p) continue;
      const factor = work[i]![p]!;
      for (let j = 0; j < 2 * size; j++) work[i]![j]! -= factor * work[p]![j]!;
    }
  }
  return work.map((row) => row.slice(size));
}
