/**
 * Years for which a safety-related part of a control is designed, unless its maker says less (ISO 13849-1,
 * mission time).
 */
export const MISSION_YEARS = 20;

/** Bands of ISO 13849-1: of the mean time to dangerous failure of a channel, and of diagnostic coverage. */
export type TimeBand = 'not-acceptable' | 'low' | 'medium' | 'high';
export type CoverageBand = 'none' | 'low' | 'medium' | 'high';
/** Performance level; 'none': the chance of a dangerous failure an hour is outside the table. */
export type PerformanceLevel = 'a' | 'b' | 'c' | 'd' | 'e' | 'none';

export interface SafetyComponentLife {
  /** Mean time to dangerous failure, years. */
  meanYears: number;
  /** Age by which one in ten has failed dangerously, years: the part must be exchanged by then. */
  tenthYears: number;
  /** The lesser of that and the mission time: when to exchange it. */
  exchangeYears: number;
  /** True: it wears out before the mission ends. */
  beforeMissionEnds: boolean;
  /** Cycles at `exchangeYears`. */
  exchangeCycles: number;
}

/**
 * Life of a safety component that wears with every operation (ISO 13849-1 annex C): MTTF_D = B10_D / (0.1
 * n_op), T10_D = B10_D / n_op; exchange at T10_D or at the end of the mission time, whichever is first.
 * @throws RangeError naming the field that is not above 0.
 */
export function safetyComponentLife(part: {
  /** Operations by which one in ten has failed dangerously. */
  b10dCycles: number;
  operationsPerYear: number;
  missionYears?: number;
}): SafetyComponentLife {
  const operations = positive(part.operationsPerYear, 'operationsPerYear');
  const tenthYears = positive(part.b10dCycles, 'b10dCycles') / operations;
  const missionYears = positive(part.missionYears ?? MISSION_YEARS, 'missionYears');
  const exchangeYears = Math.min(tenthYears, missionYears);
  return {
    meanYears: tenthYears / 0.1,
    tenthYears,
    exchangeYears,
    beforeMissionEnds: tenthYears < missionYears,
    exchangeCycles: exchangeYears * operations,
  };
}

/**
 * Operations a year of a machine that works `days` a year, `hours` a day, once every `cycleSeconds` (ibid.).
 */
export function operationsPerYear(use: { days: number; hours: number; cycleSeconds: number }): number {
  return (
    (positive(use.days, 'days') * positive(use.hours, 'hours') * 3600) /
    positive(use.cycleSeconds, 'cycleSeconds')
  );
}

/** B10_D from B10 by the share of failures that are dangerous; one half where it is not known (ibid.). */
export function dangerousB10(b10Cycles: number, dangerousShare = 0.5): number {
  if (!(dangerousShare > 0 && dangerousShare <= 1)) {
    throw new RangeError(`dangerousShare must be above 0 and at most 1, not ${dangerousShare}`);
  }
  return positive(b10Cycles, 'b10Cycles') / dangerousShare;
}

/**
 * Mean time to dangerous failure of a channel from those of its parts: 1/MTTF = Σ 1/MTTFᵢ (ISO 13849-1 annex
 * D), uncapped.
 */
export function channelYears(partYears: readonly number[]): number {
  if (partYears.length === 0) throw new RangeError('partYears must hold at least one part');
  return 1 / partYears.reduce((sum, years) => sum + 1 / positive(years, 'partYears'), 0);
}

/**
 * Band of a channel's mean time to dangerous failure (ISO 13849-1 table 5); below 3 years it may not be used.
 */
export function timeBand(years: number): TimeBand {
  if (!(years >= 3)) return 'not-acceptable';
  return years < 10 ? 'low' : years < 30 ? 'medium' : 'high';
}

/** Band of a diagnostic coverage in percent (ISO 13849-1 table 6). */
export function coverageBand(percent: number): CoverageBand {
  if (!(percent >= 60)) return 'none';
  return percent < 90 ? 'low' : percent < 99 ? 'medium' : 'high';
}

/** Performance level of an average chance of a dangerous failure per hour (ISO 13849-1 table 3). */
export function performanceLevel(failuresPerHour: number): PerformanceLevel {
  if (!(failuresPerHour >= 1e-8 && failuresPerHour < 1e-4)) return 'none';
  if (failuresPerHour >= 1e-5) return 'a';
  if (failuresPerHour >= 3e-6) return 'b';
  if (failuresPerHour >= 1e-6) return 'c';
  return failuresPerHour >= 1e-7 ? 'd' : 'e';
}

function positive(value: number, field: string): number {
  if (!(value > 0 && value < Infinity)) throw new RangeError(`${field} must be above 0, not ${value}`);
  return value;
}
