import normalQuantile from '@stdlib/stats-base-dists-normal-quantile';
import type { Interval } from '../shared/interval.js';
import { checkHistories } from './checkHistories.js';
import type { NoTrend } from './fitPowerLaw.js';
import type { RepairHistory } from './types.js';

/** What the power law says of one unit at the end of its observation. */
export interface GrowthEstimate {
  /** Maximum likelihood: expected events by age t are intensity · t^shape. */
  shape: number;
  intensity: number;
  /** The same without the bias of the shape: (r − 1) / Σ ln(T/t), r events by T. */
  unbiasedShape: number;
  /** Mean time between events now, by either. */
  meanTime: number;
  unbiasedMeanTime: number;
  /** Interval of the latter (NIST e-Handbook section 8.4.5.2). */
  meanTimeInterval: Interval;
  /** Cramér–von Mises distance of the events from the law: small is good; MIL-HDBK-189 tables its limits. */
  cramerVonMises: number;
}

/**
 * Growth of one unit's reliability: power law with its closed form, unit observed until a fixed time. Fewer
 * than three events say too little. O(n log n). @throws RangeError as `checkHistories`.
 */
export function reliabilityGrowth(history: RepairHistory, confidence = 0.8): GrowthEstimate | NoTrend {
  checkHistories([history]);
  const { end } = history;
  const events = [...history.events].sort((a, b) => a - b);
  const count = events.length;
  if (count < 3) return { none: 'too-few-events' };
  const logs = events.reduce((sum, at) => sum + Math.log(end / at), 0);
  if (!(logs > 0)) return { none: 'events-at-the-end' };
  const shape = count / logs;
  const unbiasedShape = (count - 1) / logs;
  const z = normalQuantile(0.5 + confidence / 2, 0, 1);
  const unbiasedMeanTime = end / (count * unbiasedShape);
  const more = count + z ** 2 / 4 + Math.sqrt((count * z ** 2) / 2 + z ** 4 / 16);
  const less = count - z * Math.sqrt(count / 2);
  const pairs = unbiasedMeanTime * count * (count - 1);
  return {
    shape,
    intensity: count / end ** shape,
    unbiasedShape,
    meanTime: end / (count * shape),
    unbiasedMeanTime,
    meanTimeInterval: [pairs / more ** 2, less > 0 ? pairs / less ** 2 : Infinity],
    cramerVonMises: events.reduce(
      (sum, at, i) => sum + ((at / end) ** unbiasedShape - (2 * i + 1) / (2 * count)) ** 2,
      1 / (12 * count),
    ),
  };
}
