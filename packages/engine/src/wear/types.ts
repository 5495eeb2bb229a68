import type { Quantiles } from '../shared/quantiles.js';

/** What is said of a kind of part's life before any of its own failures was seen. Exactly one of the two ratings is set. */
export interface LifeRating {
  /** Age by which one in ten has failed, in cycles. */
  b10Cycles: number | null;
  /** The same in months of 30.4375 days, for parts that age by time (heaters, fans, batteries). */
  b10Months: number | null;
  /** Weibull shape (1: failures by chance; above 1: wear-out). */
  shape: number;
  /** Standard deviation of ln(shape). */
  shapeSpread: number;
  /** Standard deviation of ln(B10): how far the rating may be off. */
  ratingSpread: number;
}

/** What the age of a part is counted in. */
export type AgeUnit = 'cycles' | 'days';

/** Condition of a fitted part, from its remaining life. */
export type Condition = 'sound' | 'wearing' | 'worn' | 'unknown';

/** When a fitted part is likely to end. */
export interface PartOutlook {
  unit: AgeUnit;
  /** Remaining life in `unit`. */
  remaining: Quantiles;
  /** The same in days from the duty model's `asOf`. */
  daysAhead: Quantiles;
  /** Chance of failing within 30, 90, 365 days. */
  chance30: number;
  chance90: number;
  chance365: number;
  condition: Condition;
}
