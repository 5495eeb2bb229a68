import { findRoot } from '../shared/findRoot.js';
import { lifePoints } from './lifePoints.js';
import type { LifePoints } from './lifePoints.js';
import type { Lives } from './lives.js';
import { ratedLife } from './priorModel.js';
import type { LifeRating, WearModel } from './types.js';
import { wearModelOf } from './wearModelOf.js';
import { logLikelihood, powerSums } from './weibullProfile.js';
import type { PowerSums } from './weibullProfile.js';

const SHAPE_NODES = 17;
const LIFE_NODES = 25;
/**
 * The grid goes on until the logarithm of the density has fallen by this much: about five standard deviations.
 */
const FALL = 12;
/** The shape is looked for within this many of its prior standard deviations. */
const FAR_SPREADS = 12;
/** Of a logarithm of shape or life. */
const PRECISION = 1e-6;
/** Laws below this weight are dropped. */
const NEGLIGIBLE_WEIGHT = 1e-8;
/** ln(−ln 0.9): ln B10 = ln scale + this / shape. */
const REACH_B10 = Math.log(-Math.log(0.9));

/** Prior of (ln shape, ln B10), two independent normal laws, and the lives. */
interface Posterior {
  points: LifePoints;
  logShape: number;
  shapeSpread: number;
  logB10: number;
  ratingSpread: number;
}

/**
 * The wear model of a kind of part from its rating and its own lives: prior × likelihood, summed on a grid that
 * is laid where the product is. Any number of lives will do; with none it is the rating's own law
 * (`priorModel`), with very many the fit's (`fitWeibull`). Ages of the lives in the unit of the rating, months
 * being taken as days.
 *
 * Given the shape, the lives enter through a single sum, so that the grid costs one pass over at most 24,576
 * points for each of its 17 shapes, whatever the number of lives. O(lives) + some tens of such passes.
 * @throws RangeError as `priorModel` for the rating and `fitWeibull` for the lives.
 */
export function posteriorModel(rating: LifeRating, lives: Lives): WearModel {
  const { unit, b10 } = ratedLife(rating);
  const posterior: Posterior = {
    points: lifePoints(lives),
    logShape: Math.log(rating.shape),
    shapeSpread: rating.shapeSpread,
    logB10: Math.log(b10),
    ratingSpread: rating.ratingSpread,
  };
  const shapes: number[] = [];
  const scales: number[] = [];
  const logWeights: number[] = [];
  for (const logShape of shapeNodes(posterior)) {
    const shape = Math.exp(logShape);
    const slice = sliceAt(posterior, logShape);
    const nodes = lifeNodes(posterior, slice);
    const width = nodes.length > 1 ? nodes[1]! - nodes[0]! : 1;
    for (const logB10 of nodes) {
      shapes.push(shape);
      scales.push(Math.exp(logB10 - REACH_B10 / shape));
      logWeights.push(slice.density(logB10) + Math.log(width));
    }
  }
  const most = logWeights.reduce((a, b) => Math.max(a, b));
  const kept = logWeights.map((_, k) => k).filter((k) => logWeights[k]! > most + Math.log(NEGLIGIBLE_WEIGHT));
  return wearModelOf({
    unit,
    shapes: kept.map((k) => shapes[k]!),
    scales: kept.map((k) => scales[k]!),
    weights: kept.map((k) => Math.exp(logWeights[k]! - most)),
  });
}

/** The posterior at one shape, along ln B10. */
interface Slice {
  /** Logarithm of the density, up to a constant that all slices share. */
  density: (logB10: number) => number;
  /** Where it is greatest, and its curvature there (negative). */
  mode: number;
  curvature: number;
}

function sliceAt(posterior: Posterior, logShape: number): Slice {
  const { points, logB10, ratingSpread } = posterior;
  const shape = Math.exp(logShape);
  const sums = powerSums(points, shape);
  const offShape = posterior.shapeSpread === 0 ? 0 : (logShape - posterior.logShape) / posterior.shapeSpread;
  const density = (at: number) => {
    const off = ratingSpread === 0 ? 0 : (at - logB10) / ratingSpread;
    return logLikelihood(points, shape, at - REACH_B10 / shape, sums) - 0.5 * (off * off + offShape * offShape);
  };
  if (ratingSpread === 0) return { density, mode: logB10, curvature: -1 };
  return { density, ...modeOf(posterior, shape, sums) };
}

/**
 * Mode along u = ln B10 − rated: Newton on the slope −rβ + βE e^(−βu) − u/s², which falls and is convex, from a
 * point left of the root (the lesser of the likelihood's peak and the rating), whence it cannot overshoot.
 */
function modeOf(posterior: Posterior, shape: number, sums: PowerSums): { mode: number; curvature: number } {
  const { points, logB10, ratingSpread } = posterior;
  const { failures } = points;
  const precision = 1 / (ratingSpread * ratingSpread);
  const logPower =
    sums.zero > 0 ? Math.log(sums.zero) + shape * (points.latest - logB10) + REACH_B10 : -Infinity;
  const peak = failures > 0 ? (logPower - Math.log(failures)) / shape : Infinity;
  // Lives far beyond the rating would overflow at 0; e^600 is still left of the root.
  let u = Math.max(Math.min(0, peak), (logPower - 600) / shape);
  let curvature = -precision;
  for (let step = 0; step < 500; step++) {
    const power = Math.exp(logPower - shape * u);
    curvature = -shape * shape * power - precision;
    const move = (shape * (power - failures) - u * precision) / -curvature;
    u += move;
    if (Math.abs(move) < 1e-10) break;
  }
  return { mode: logB10 + u, curvature };
}

/**
 * Even nodes of ln shape over where the posterior is, its other dimension integrated out by Laplace's formula.
 */
function shapeNodes(posterior: Posterior): number[] {
  const { logShape, shapeSpread } = posterior;
  if (shapeSpread === 0) return [logShape];
  const marginal = (at: number) => {
    const slice = sliceAt(posterior, at);
    return slice.density(slice.mode) - 0.5 * Math.log(-slice.curvature);
  };
  const [low, high] = [logShape - FAR_SPREADS * shapeSpread, logShape + FAR_SPREADS * shapeSpread];
  const mode = peakOf(marginal, low, high);
  return evenNodes(marginal, low, mode, high, SHAPE_NODES);
}

function lifeNodes(posterior: Posterior, slice: Slice): number[] {
  if (posterior.ratingSpread === 0) return [slice.mode];
  // The density is concave, and at least as narrow as the prior: it has fallen far enough within this distance.
  const far = 1.1 * Math.sqrt(2 * FALL) * posterior.ratingSpread;
  return evenNodes(slice.density, slice.mode - far, slice.mode, slice.mode + far, LIFE_NODES);
}

/** Nodes between the points on either side of `mode` at which the logarithm of a density has fallen by FALL. */
function evenNodes(
  density: (x: number) => number,
  low: number,
  mode: number,
  high: number,
  count: number,
): number[] {
  const level = density(mode) - FALL;
  const above = (x: number) => density(x) - level;
  const end = (limit: number) => (above(limit) >= 0 ? limit : findRoot(above, mode, limit, PRECISION));
  const [from, to] = [end(low), end(high)];
  return Array.from({ length: count }, (_, i) => from + (i * (to - from)) / (count - 1));
}

/** Highest point of a function with one peak: a scan, then golden section about the best of it. */
function peakOf(f: (x: number) => number, low: number, high: number): number {
  const scan = 32;
  let best = 0;
  let highest = -Infinity;
  for (let i = 0; i <= scan; i++) {
    const value = f(low + (i * (high - low)) / scan);
    if (value > highest) [best, highest] = [i, value];
  }
  const golden = 0.6180339887498949;
  let a = low + (Math.max(0, best - 1) * (high - low)) / scan;
  let b = low + (Math.min(scan, best + 1) * (high - low)) / scan;
  while (b - a > 10 * PRECISION) {
    const [x, y] = [b - golden * (b - a), a + golden * (b - a)];
    if (f(x) > f(y)) b = y;
    else a = x;
  }
  return 0.5 * (a + b);
}
