import chiSquareCdf from '@stdlib/stats-base-dists-chisquare-cdf';
import { fitPoints } from './fitWeibull.js';
import type { NoFit, WeibullFit } from './fitWeibull.js';
import { lifePoints } from './lifePoints.js';
import type { LifePoints, Points } from './lifePoints.js';
import type { Lives } from './lives.js';
import { fitLocationScale } from './locationScale.js';
import { powerSums } from './weibullProfile.js';

/**
 * How well three laws fit the same lives. The Akaike criterion is 2 × parameters − 2 ln L: the less the better.
 */
export interface LawComparison {
  weibull: { fit: WeibullFit; akaike: number };
  exponential: { mean: number; logLikelihood: number; akaike: number };
  /** ln(age) normal with this mean and deviation; null if its likelihood has no settled optimum. */
  lognormal: { mean: number; deviation: number; logLikelihood: number; akaike: number } | null;
  /**
   * Likelihood-ratio test of shape 1: twice the gain of ln L, and the chance of as much by luck (χ², 1 degree).
   */
  wearOut: { statistic: number; pValue: number };
  /**
   * 'weibull', unless a lognormal law beats it by an Akaike difference of more than 4 (a likelihood ratio of
   * e², beyond which such fits are no longer near equals; Burnham & Anderson's rule of thumb, from memory).
   */
  better: 'weibull' | 'lognormal';
}

const CLEARLY_BETTER = 4;

/**
 * Says whether a Weibull law is the wrong one: compares it with the exponential (no wear-out at all) and the
 * lognormal, each by maximum likelihood. O(lives) and some steps over the points. @throws RangeError as
 * `checkLives`.
 */
export function compareLaws(lives: Lives, confidence = 0.95): LawComparison | NoFit {
  const points = lifePoints(lives);
  const fit = fitPoints(points, confidence);
  if ('none' in fit) return fit;
  const exponential = fitExponential(points);
  const lognormal = fitLognormal(points);
  const statistic = Math.max(0, 2 * (fit.logLikelihood - exponential.logLikelihood));
  const akaike = 4 - 2 * fit.logLikelihood;
  return {
    weibull: { fit, akaike },
    exponential: { ...exponential, akaike: 2 - 2 * exponential.logLikelihood },
    lognormal,
    wearOut: { statistic, pValue: 1 - chiSquareCdf(statistic, 1) },
    better: lognormal !== null && lognormal.akaike < akaike - CLEARLY_BETTER ? 'lognormal' : 'weibull',
  };
}

function fitExponential(points: LifePoints): { mean: number; logLikelihood: number } {
  const mean = (powerSums(points, 1).zero * Math.exp(points.latest)) / points.failures;
  return { mean, logLikelihood: -points.failures * (Math.log(mean) + 1) };
}

function fitLognormal(points: LifePoints): LawComparison['lognormal'] {
  const level = (part: Points) => ({ ...part, columns: [new Float64Array(part.logAge.length).fill(1)] });
  const parts = {
    failed: level(points.failed),
    suspended: level(points.suspended),
    entered: level(points.entered),
  };
  const start = [points.sumLogFailed / points.failures, 0];
  const fit = fitLocationScale(parts, 'lognormal', start);
  if (fit === null) return null;
  const [mean, logDeviation] = fit.coefficients as [number, number];
  return {
    mean,
    deviation: Math.exp(logDeviation),
    logLikelihood: fit.logLikelihood,
    akaike: 4 - 2 * fit.logLikelihood,
  };
}
