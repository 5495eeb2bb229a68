import chiSquareCdf from '@stdlib/stats-base-dists-chisquare-cdf';
import type { Interval } from '../shared/interval.js';
import { fitPoints } from '../wear/fitWeibull.js';
import type { LifePoints } from '../wear/lifePoints.js';
import { checkHistories } from './checkHistories.js';
import type { RepairHistory } from './types.js';

/**
 * Expected events of a unit by age t: (t/scale)^shape. Shape above 1: more and more often; below 1: less and
 * less.
 */
export interface PowerLawFit {
  shape: number;
  scale: number;
  shapeError: number;
  shapeInterval: Interval;
  logLikelihood: number;
  /** The same with a steady rate (shape 1), and the likelihood-ratio test between the two (χ², 1 degree). */
  steady: { eventsPerUnitAge: number; logLikelihood: number };
  trend: { statistic: number; pValue: number };
  events: number;
}

/** Why no law was fitted: fewer than two events, or all of them at the end of the longest observation. */
export interface NoTrend {
  none: 'too-few-events' | 'events-at-the-end';
}

/**
 * Power-law (Crow–AMSAA, MIL-HDBK-189) process over units observed for different times, by maximum likelihood.
 * Its likelihood is that of Weibull lives in which the ends of observation take the place of all ages and the
 * events that of the failures, so the same fit does it. O(events + units). @throws RangeError as
 * `checkHistories`.
 */
export function fitPowerLaw(histories: readonly RepairHistory[], confidence = 0.95): PowerLawFit | NoTrend {
  checkHistories(histories);
  const ends = Float64Array.from(histories, ({ end }) => Math.log(end));
  const none = { logAge: new Float64Array(0), weight: new Float64Array(0) };
  const events = histories.flatMap((history) => history.events);
  const points: LifePoints = {
    failed: none,
    suspended: { logAge: ends, weight: new Float64Array(ends.length).fill(1) },
    entered: none,
    failures: events.length,
    suspensions: ends.length,
    sumLogFailed: events.reduce((sum, at) => sum + Math.log(at), 0),
    latest: ends.reduce((most, end) => Math.max(most, end), -Infinity),
  };
  const fit = fitPoints(points, confidence);
  if ('none' in fit) return { none: fit.none === 'too-few-failures' ? 'too-few-events' : 'events-at-the-end' };
  const time = histories.reduce((sum, { end }) => sum + end, 0);
  const rate = events.length / time;
  const steady = events.length * (Math.log(rate) - 1);
  const statistic = Math.max(0, 2 * (fit.logLikelihood - steady));
  return {
    shape: fit.shape,
    scale: fit.scale,
    shapeError: fit.shapeError,
    shapeInterval: fit.shapeInterval,
    logLikelihood: fit.logLikelihood,
    steady: { eventsPerUnitAge: rate, logLikelihood: steady },
    trend: { statistic, pValue: 1 - chiSquareCdf(statistic, 1) },
    events: events.length,
  };
}
