import normalQuantile from '@stdlib/stats-base-dists-normal-quantile';
import { findRoot } from '../shared/findRoot.js';
import type { Interval } from '../shared/interval.js';
import { lifePoints } from './lifePoints.js';
import type { LifePoints } from './lifePoints.js';
import type { Lives } from './lives.js';
import { bestLogScale, logLikelihood, powerSums, profileLikelihood } from './weibullProfile.js';
import type { PowerSums } from './weibullProfile.js';

/** A fitted Weibull law. Ages and their errors in the unit of the lives. */
export interface WeibullFit {
  shape: number;
  scale: number;
  /** Standard errors by the observed information. */
  shapeError: number;
  scaleError: number;
  /** Likelihood-ratio intervals: where twice the fall of ln L stays below the χ² quantile. */
  shapeInterval: Interval;
  scaleInterval: Interval;
  /**
   * Ages by which 10 % and 50 % have failed; their intervals by the delta method on ln(age), as in
   * `lifeAtShare`.
   */
  b10: number;
  b10Interval: Interval;
  b50: number;
  b50Interval: Interval;
  logLikelihood: number;
  /** Sums of weights. */
  failures: number;
  suspensions: number;
  /** Covariance of (ln shape, ln scale): variances and covariance. */
  logCovariance: { shape: number; scale: number; both: number };
  /** Of all intervals. */
  confidence: number;
}

/**
 * Why no law was fitted: fewer than two failures say nothing of the shape (the rating must do; see
 * `posteriorModel`); failures all at one age, which no other outlives, drive the shape beyond all bounds; or
 * the likelihood rises without end towards shape 0, as it can when every part was first seen late.
 */
export interface NoFit {
  none: 'too-few-failures' | 'failures-at-one-age' | 'shape-not-bounded';
}

const MIN_SHAPE = 0.01;
const MAX_SHAPE = 1000;
const MAX_STEPS = 60;
/** Of ln shape. */
const PRECISION = 1e-11;
/** Likelihood intervals are searched within this many standard errors of ln shape. */
const FAR_ERRORS = 40;

/**
 * Fits a two-parameter Weibull law by maximum likelihood to lives that may be right-censored and
 * left-truncated: Newton's method on the likelihood's profile over ln shape, kept inside a bracket. O(lives),
 * then O(min(lives, 24,576)) a step. Definitions and formulas: Meeker & Escobar, Statistical Methods for
 * Reliability Data (1998), chapter 8 (from memory).
 * @throws RangeError naming field and row for lives that are not valid (`checkLives`), or a confidence not
 * within 0 to 1.
 */
export function fitWeibull(lives: Lives, confidence = 0.95): WeibullFit | NoFit {
  if (!(confidence > 0 && confidence < 1))
    throw new RangeError(`confidence must be between 0 and 1, not ${confidence}`);
  return fitPoints(lifePoints(lives), confidence);
}

/** As `fitWeibull`, for points that have been made already. */
export function fitPoints(points: LifePoints, confidence: number): WeibullFit | NoFit {
  if (points.failures < 2) return { none: 'too-few-failures' };
  const shape = bestShape(points);
  if (shape === null)
    return { none: slope(points, Math.log(MAX_SHAPE)).score > 0 ? 'failures-at-one-age' : 'shape-not-bounded' };
  const sums = powerSums(points, shape);
  const logScale = bestLogScale(points, shape, sums);
  const best = logLikelihood(points, shape, logScale, sums);
  const covariance = logCovariance(points, shape, logScale, sums);
  const scale = Math.exp(logScale);
  const deviate = normalQuantile(0.5 + confidence / 2, 0, 1);
  const fall = (deviate * deviate) / 2;
  const shapeInterval = shapeByLikelihood(points, shape, best - fall, Math.sqrt(covariance.shape));
  const law = { shape, scale, logCovariance: covariance };
  const b10 = lifeAtShare(law, 0.1, confidence);
  const b50 = lifeAtShare(law, 0.5, confidence);
  return {
    shape,
    scale,
    shapeError: shape * Math.sqrt(covariance.shape),
    scaleError: scale * Math.sqrt(covariance.scale),
    shapeInterval,
    scaleInterval: scaleByLikelihood(points, shapeInterval, best - fall),
    b10: b10.age,
    b10Interval: b10.interval,
    b50: b50.age,
    b50Interval: b50.interval,
    logLikelihood: best,
    failures: points.failures,
    suspensions: points.suspensions,
    logCovariance: covariance,
    confidence,
  };
}

/**
 * Age by which a share (above 0, below 1) has failed under a fitted law, with standard error and interval:
 * delta method on ln(age) = ln η + c/β, c = ln(−ln(1 − share)). The B10 life at share 0.1; the line and band of
 * a Weibull plot. O(1).
 */
export function lifeAtShare(
  fit: Pick<WeibullFit, 'shape' | 'scale' | 'logCovariance'>,
  share: number,
  confidence = 0.95,
): { age: number; error: number; interval: Interval } {
  if (!(share > 0 && share < 1)) throw new RangeError(`share must be between 0 and 1, not ${share}`);
  const { shape, scale, logCovariance: covariance } = fit;
  const reach = Math.log(-Math.log1p(-share)) / shape;
  const age = scale * Math.exp(reach);
  const variance = covariance.scale - 2 * reach * covariance.both + reach * reach * covariance.shape;
  const logError = Math.sqrt(Math.max(0, variance));
  const factor = Math.exp(normalQuantile(0.5 + confidence / 2, 0, 1) * logError);
  return { age, error: age * logError, interval: [age / factor, age * factor] };
}

/** Slope of the profile by ln shape, and the slope's own. */
function slope(points: LifePoints, logShape: number): { score: number; curvature: number } {
  const shape = Math.exp(logShape);
  const { zero, first, second } = powerSums(points, shape);
  const logs = points.sumLogFailed - points.failures * points.latest;
  const mean = first / zero;
  const pull = shape * (logs - points.failures * mean);
  return {
    score: points.failures + pull,
    curvature: pull - points.failures * shape * shape * (second / zero - mean * mean),
  };
}

/** The shape of greatest likelihood; null if there is none between the limits. */
function bestShape(points: LifePoints): number | null {
  let low = Math.log(MIN_SHAPE);
  let high = Math.log(MAX_SHAPE);
  let at = 0;
  if (!(slope(points, low).score > 0) || !(slope(points, high).score < 0)) return null;
  for (let step = 0; step < MAX_STEPS; step++) {
    const { score, curvature } = slope(points, at);
    if (score > 0) low = at;
    else high = at;
    let next = at - score / curvature;
    if (!(curvature < 0 && next > low && next < high)) next = 0.5 * (low + high);
    if (Math.abs(next - at) < PRECISION) return Math.exp(next);
    at = next;
  }
  return Math.exp(at);
}

/** Inverse of the observed information of (ln shape, ln scale). */
function logCovariance(
  points: LifePoints,
  shape: number,
  logScale: number,
  sums: PowerSums,
): WeibullFit['logCovariance'] {
  // Σ w y H and Σ w y² H with y = β ln(t/η), H = (t/η)^β; at the optimum Σ w H is the number of failures.
  const lead = points.latest - logScale;
  const power = Math.exp(shape * lead);
  const firstY = shape * power * (sums.first + lead * sums.zero);
  const secondY = shape * shape * power * (sums.second + 2 * lead * sums.first + lead * lead * sums.zero);
  const infoShape = points.failures + secondY;
  const infoScale = shape * shape * points.failures;
  const infoBoth = -shape * firstY;
  const determinant = infoShape * infoScale - infoBoth * infoBoth;
  return { shape: infoScale / determinant, scale: infoShape / determinant, both: -infoBoth / determinant };
}

/** Shapes at which the profile has fallen to `level`. */
function shapeByLikelihood(points: LifePoints, shape: number, level: number, logError: number): Interval {
  const above = (logShape: number) => profileLikelihood(points, Math.exp(logShape)) - level;
  const bound = (side: 1 | -1) => {
    for (let errors = 2; errors <= FAR_ERRORS; errors *= 1.5) {
      const far = Math.log(shape) + side * errors * logError;
      if (above(far) < 0) return Math.exp(findRoot(above, Math.log(shape), far, 1e-8));
    }
    return side === 1 ? Infinity : 0;
  };
  return [bound(-1), bound(1)];
}

/**
 * Scales between which the likelihood, at its best shape for each, stays above `level`. At a given shape the
 * two scales at which it equals `level` follow from one scalar equation; the interval is from the least to the
 * greatest of them.
 */
function scaleByLikelihood(points: LifePoints, shapes: Interval, level: number): Interval {
  const logScaleAt = (logShape: number, side: 1 | -1) => {
    const shape = Math.exp(logShape);
    const sums = powerSums(points, shape);
    const middle = bestLogScale(points, shape, sums);
    const fall = Math.max(0, logLikelihood(points, shape, middle, sums) - level) / points.failures;
    return middle + levelOffset(fall, side) / shape;
  };
  const low = Math.log(Math.max(shapes[0], MIN_SHAPE));
  const high = Math.log(Math.min(shapes[1], MAX_SHAPE));
  const least = -greatest((logShape) => -logScaleAt(logShape, -1), low, high);
  const most = greatest((logShape) => logScaleAt(logShape, 1), low, high);
  return [Math.exp(least), Math.exp(most)];
}

/**
 * The d of sign `side` with d + e⁻ᵈ − 1 = fall: how far β ln η may move until ln L has fallen by that much a
 * failure.
 */
function levelOffset(fall: number, side: 1 | -1): number {
  if (fall === 0) return 0;
  // Newton from outside the root: the function is convex, so it comes in from one side and cannot overshoot.
  let d = side === 1 ? fall + Math.sqrt(2 * fall) : -Math.sqrt(2 * fall);
  for (let step = 0; step < 50; step++) {
    const move = (d + Math.expm1(-d) - fall) / -Math.expm1(-d);
    d -= move;
    if (Math.abs(move) < 1e-13 * Math.abs(d)) break;
  }
  return d;
}

/** Greatest value of a function with one peak between `a` and `b`, by golden section; off by 1e-8 of its bend. */
function greatest(f: (x: number) => number, a: number, b: number): number {
  const golden = 0.6180339887498949;
  let x = b - golden * (b - a);
  let y = a + golden * (b - a);
  let fx = f(x);
  let fy = f(y);
  for (let step = 0; step < 20; step++) {
    if (fx > fy) {
      [b, y, fy] = [y, x, fx];
      x = b - golden * (b - a);
      fx = f(x);
    } else {
      [a, x, fx] = [x, y, fy];
      y = a + golden * (b - a);
      fy = f(y);
    }
  }
  return Math.max(fx, fy);
}
