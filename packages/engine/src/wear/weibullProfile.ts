import type { LifePoints, Points } from './lifePoints.js';

/**
 * Given the shape, the lives enter a Weibull likelihood through A(β) = Σ w (t^β − entry^β) alone. Here A and
 * its first two derivatives by β, all relative to the latest age and divided by latest^β, so that nothing
 * overflows.
 */
export interface PowerSums {
  zero: number;
  first: number;
  second: number;
}

/** O(points): one exponential each. */
export function powerSums(points: LifePoints, shape: number): PowerSums {
  const sums: PowerSums = { zero: 0, first: 0, second: 0 };
  add(sums, points.failed, 1, points.latest, shape);
  add(sums, points.suspended, 1, points.latest, shape);
  add(sums, points.entered, -1, points.latest, shape);
  return sums;
}

function add(sums: PowerSums, points: Points, sign: 1 | -1, latest: number, shape: number): void {
  const { logAge, weight } = points;
  let zero = 0;
  let first = 0;
  let second = 0;
  for (let i = 0; i < logAge.length; i++) {
    const x = logAge[i]! - latest;
    const power = weight[i]! * Math.exp(shape * x);
    zero += power;
    first += power * x;
    second += power * x * x;
  }
  sums.zero += sign * zero;
  sums.first += sign * first;
  sums.second += sign * second;
}

/** ln η that maximises the likelihood at a shape: η^β = A(β)/r. */
export function bestLogScale(points: LifePoints, shape: number, sums: PowerSums): number {
  return points.latest + Math.log(sums.zero / points.failures) / shape;
}

/** ln L at a shape and ln η: r ln β + β(Σ ln t − r ln η) − Σ ln t − A(β)/η^β, sums over the failures. */
export function logLikelihood(points: LifePoints, shape: number, logScale: number, sums: PowerSums): number {
  const { failures, sumLogFailed, latest } = points;
  const logs =
    failures === 0
      ? 0
      : failures * Math.log(shape) + shape * (sumLogFailed - failures * logScale) - sumLogFailed;
  return logs - sums.zero * Math.exp(shape * (latest - logScale));
}

/** Greatest ln L at a shape. */
export function profileLikelihood(points: LifePoints, shape: number): number {
  const sums = powerSums(points, shape);
  return logLikelihood(points, shape, bestLogScale(points, shape, sums), sums);
}
