import type { Quantiles } from '../shared/quantiles.js';

/**
 * What is said of a kind of part's life before any of its own failures was seen. Exactly one of the two ratings
 * is set.
 */
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

/**
 * The survival law of a kind of part, tabulated: ln H against ln age on an even grid, H = −ln S̄ being the
 * cumulative hazard. On this paper a Weibull law is a straight line, so few nodes go far. Read through
 * `cumulativeHazard` and `ageAtHazard`.
 */
export interface SurvivalTable {
  /** ln(age) of the first node, and the distance between nodes. */
  start: number;
  step: number;
  /** ln H at the nodes; rises strictly. */
  logHazard: Float64Array;
  /** Rise of ln H over one step, by the slope at each node; positive. */
  rise: Float64Array;
}

/**
 * What is known of the life of a kind of part: a grid of Weibull laws, each with the weight that rating and
 * life data give it, and the survival law averaged over them. Rebuilding takes some milliseconds (275 laws);
 * keep it for a whole run.
 */
export interface WearModel {
  unit: AgeUnit;
  /** Law k has shape shapes[k], scale scales[k] (in `unit`) and weight weights[k]; the weights sum to 1. */
  shapes: Float64Array;
  scales: Float64Array;
  weights: Float64Array;
  table: SurvivalTable;
}
