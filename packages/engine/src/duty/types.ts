import type { Quantiles } from '../shared/quantiles.js';

/** One value that a counter showed. */
export interface RawReading {
  /** Instant, milliseconds since 1970-01-01T00:00Z. */
  at: number;
  /** What the counter showed, a non-negative integer. */
  value: number;
  /** Index into the counters of the door; left out: the counter fitted at that instant. */
  counter?: number;
  /** A planner's word over the computed verdict. */
  overruled?: 'use' | 'set-aside';
}

/** One counter's time on the door, in order of fitting. */
export interface CounterSpan {
  /** Instants, milliseconds; `to` is null while it is fitted. */
  from: number;
  to: number | null;
  /** Value at which it rolls over to 0 (e.g. 1,000,000 for six digits); null: not known. */
  modulus: number | null;
  /** Lifetime cycles of the door when this counter was fitted; null: not known. */
  startCycles: number | null;
  /** What the counter showed when fitted; null: not known (0 is likely). */
  startValue: number | null;
}

/**
 * What became of a reading. The first three are used; `used-rollover`: the counter passed its modulus since
 * the last used reading; `used-reset`: a new count began, the cycles across the gap are estimated. The others
 * are set aside.
 */
export type Verdict =
  | 'used'
  | 'used-rollover'
  | 'used-reset'
  | 'duplicate'
  | 'out-of-order'
  | 'too-fast'
  | 'mistyped'
  | 'stuck'
  | 'set-aside';

/** Lifetime cycles at the used readings, oldest first; never falling. All three arrays have one length. */
export interface CycleHistory {
  at: Float64Array;
  cycles: Float64Array;
  /**
   * 1 where the cycles since the reading before were estimated (across a reset, or lost by a stuck counter),
   * else 0.
   */
  estimated: Uint8Array;
  /**
   * Where the first counter's count began, if that is known: its fitting is as good as a reading, and gives a
   * door with a single reading a rate of its own. Left out: not known.
   */
  start?: { at: number; cycles: number };
}

export interface Unwrapped {
  /** One per reading, in the order of the input. */
  verdicts: Verdict[];
  history: CycleHistory;
}

/**
 * What the peers of a door (same site and type, else same type, else company) say of its rate before its own
 * readings.
 */
export interface RatePrior {
  /** Mean cycles a day of the peers. */
  cyclesPerDay: number;
  /** Variance of the true rates between peers, (cycles/day)². */
  variance: number;
  /** How many peers stand behind it; 0: a default of the trade (common practice, no source). */
  peers: number;
}

/** The duty of one door as of an instant: plain data, storable as JSON. */
export interface DutyModel {
  asOf: number;
  /** Best estimate of the lifetime cycles at `asOf` (the last reading carried forward by the rate). */
  lifetimeCycles: number;
  /** Level of the rate with its uncertainty. */
  cyclesPerDay: Quantiles;
  /**
   * Mean (cycles/day) and variance of the level, and the variance that it gains a day by drifting,
   * (cycles/day)².
   */
  level: number;
  levelVariance: number;
  driftVariancePerDay: number;
  /** Variance of a day's count over its mean (over-dispersion; 1 for Poisson). */
  dispersion: number;
  /** Used readings behind it. */
  readings: number;
  /** Instant of the last used reading; null: none. */
  lastReadingAt: number | null;
  /** Instant of the latest abrupt change of level that was found; null: none. */
  changedAt: number | null;
  /**
   * Duty of each of the seven days after `lastReadingAt`, repeating, relative to their mean (sums to 7).
   * Counted from the reading and not from midnight, so that it needs no time zone. Null: not known, taken as
   * even.
   */
  weekday: number[] | null;
  /**
   * Season of the year: c₁, s₁, c₂, s₂ ... of the factor 1 + Σ cₖ cos(2πkθ) + sₖ sin(2πkθ) on the level,
   * where θ counts years of 365.2425 days since 1970-01-01T00:00Z. Empty: none to be seen. Null: not known,
   * less than two years of data.
   */
  seasonal: number[] | null;
}
