import { findRoot } from '../shared/findRoot.js';
import { checkHistories } from './checkHistories.js';
import type { NoTrend } from './fitPowerLaw.js';
import type { RepairHistory } from './types.js';

/** Rate of events exp(level + growth · age): the log-linear process of Cox & Lewis (1966). */
export interface LogLinearFit {
  level: number;
  growth: number;
  logLikelihood: number;
}

/**
 * Log-linear process by maximum likelihood, a second opinion on a power law's trend: given the growth g the
 * level follows, and g is where Σ t equals the events times the mean age that the process expects. O(events +
 * units) a step.
 * @throws RangeError as `checkHistories`.
 */
export function fitLogLinear(histories: readonly RepairHistory[]): LogLinearFit | NoTrend {
  checkHistories(histories);
  const events = histories.flatMap((history) => history.events);
  const longest = histories.reduce((most, { end }) => Math.max(most, end), 0);
  if (events.length < 2) return { none: 'too-few-events' };
  const sum = events.reduce((total, at) => total + at, 0);
  // All in multiples of the longest observation, and over exp(g), so that nothing overflows.
  const expected = (g: number) => {
    let [total, moment] = [0, 0];
    for (const { end } of histories) {
      const t = end / longest;
      const near = Math.abs(g * t) < 1e-4;
      const mass = near ? t * (1 + (g * t) / 2) : Math.expm1(g * t) / g;
      total += mass * Math.exp(-Math.max(0, g));
      moment +=
        (near ? t * t * (0.5 + (g * t) / 3) : (t * Math.exp(g * t) - mass) / g) * Math.exp(-Math.max(0, g));
    }
    return { total, mean: moment / total };
  };
  const gap = (g: number) => sum / longest / events.length - expected(g).mean;
  const limit = 300;
  if (!(gap(-limit) > 0 && gap(limit) < 0)) return { none: 'events-at-the-end' };
  const g = findRoot(gap, -limit, limit, 1e-12);
  const { total } = expected(g);
  const level = Math.log(events.length / (total * longest)) - Math.max(0, g);
  const growth = g / longest;
  return { level, growth, logLikelihood: level * events.length + growth * sum - events.length };
}
