import studentQuantile from '@stdlib/stats-base-dists-t-quantile';
import type { Interval } from '../shared/interval.js';

/** Elongation of a roller chain found at a count of cycles. */
export interface ChainMeasurement {
  cycles: number;
  elongationPercent: number;
}

export interface ChainProjection {
  cyclesAtLimit: number;
  /**
   * Where the limit lies between the confidence bounds of the line; Infinity where the wear is not sure enough
   * to say.
   */
  interval: Interval;
  /** Wear rate: percent per 100,000 cycles. */
  percentPer100kCycles: number;
}

/**
 * Elongation of a chain in percent from the length over so many pitches, measured under tension, without an
 * offset link. Lengths in one unit. Negative for one shorter than its nominal length, as new chains may be.
 * @throws RangeError naming the field that is not above 0.
 */
export function chainElongation(measured: { length: number; pitches: number; pitch: number }): number {
  for (const field of ['length', 'pitches', 'pitch'] as const) {
    if (!(measured[field] > 0)) throw new RangeError(`${field} must be above 0, not ${measured[field]}`);
  }
  return 100 * (measured.length / (measured.pitches * measured.pitch) - 1);
}

/**
 * Elongation in percent at which a roller chain must be replaced: 3 %, or 200 / teeth of the larger sprocket if
 * that is less (above 66 teeth the chain climbs the teeth earlier); 1.5 % where the shaft centres are fixed,
 * chains run in pairs, or the drive must run smoothly. Chain makers' rules citing ASME B29.1 (read second-hand;
 * the maker's own limit comes first).
 * @throws RangeError for fewer than 5 teeth or a broken number of them.
 */
export function chainWearLimitPercent(largerSprocketTeeth: number, fixedCentres: boolean): number {
  if (!(Number.isInteger(largerSprocketTeeth) && largerSprocketTeeth >= 5)) {
    throw new RangeError(
      `largerSprocketTeeth must be a whole number of at least 5, not ${largerSprocketTeeth}`,
    );
  }
  return Math.min(fixedCentres ? 1.5 : 3, 200 / largerSprocketTeeth);
}

/**
 * Cycles at which a chain's elongation reaches a limit: least-squares line over its measurements, with the
 * interval in which the line itself, within its confidence band, crosses the limit (inverse prediction, Fieller
 * 1954). O(measurements).
 * @returns the projection, or a reason: fewer than three measurements, all at one count, or no elongation with
 * the cycles.
 */
export function projectChainWear(
  measurements: readonly ChainMeasurement[],
  limitPercent: number,
  confidence = 0.95,
): ChainProjection | { none: 'too-few-measurements' | 'not-wearing' } {
  const count = measurements.length;
  const mean = (pick: (m: ChainMeasurement) => number) =>
    measurements.reduce((sum, m) => sum + pick(m), 0) / count;
  if (count < 3) return { none: 'too-few-measurements' };
  const cycles = mean((m) => m.cycles);
  const elongation = mean((m) => m.elongationPercent);
  const square = count * mean((m) => (m.cycles - cycles) ** 2);
  if (!(square > 0)) return { none: 'too-few-measurements' };
  const slope = (count * mean((m) => (m.cycles - cycles) * (m.elongationPercent - elongation))) / square;
  if (!(slope > 0)) return { none: 'not-wearing' };
  const residual = count * mean((m) => (m.elongationPercent - elongation - slope * (m.cycles - cycles)) ** 2);
  const t = studentQuantile(0.5 + confidence / 2, count - 2);
  // All x, from the mean of the cycles, with (rise − slope·x)² ≤ t²s²(1/n + x²/square): a quadratic in x.
  const noise = (t * t * residual) / (count - 2);
  const rise = limitPercent - elongation;
  const lead = slope * slope - noise / square;
  const cyclesAtLimit = cycles + rise / slope;
  const percentPer100kCycles = 1e5 * slope;
  if (!(lead > 0)) return { cyclesAtLimit, interval: [0, Infinity], percentPer100kCycles };
  const root = Math.sqrt(Math.max(0, noise * ((rise * rise) / square + lead / count)));
  const interval: Interval = [
    Math.max(0, cycles + (slope * rise - root) / lead),
    cycles + (slope * rise + root) / lead,
  ];
  return { cyclesAtLimit, interval, percentPer100kCycles };
}
