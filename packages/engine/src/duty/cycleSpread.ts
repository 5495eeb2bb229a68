import { DAY_MS } from './days.js';
import { seasonalDays } from './season.js';
import type { DutyModel } from './types.js';
import { weekdayDays } from './weekday.js';

/**
 * Farthest day ahead that is ever forecast: a hundred years. A date beyond it is given as this many days, and
 * means 'not in the life of the door'.
 */
export const HORIZON_DAYS = 36_525;

/** Standard normal deviate of the ninetieth percentile. */
export const Z90 = 1.2815515655446004;

/**
 * Drift is a random walk of the level at first but cannot go on for ever: a door does not end at ten times
 * its duty. Its share of the variance saturates with this time constant (three years; common practice, no
 * source).
 */
const DRIFT_MEMORY_DAYS = 1096;

/**
 * A level may also climb or fall steadily, which a random walk learnt from short steps does not foresee:
 * standard deviation of the unknown slope, relative, a year. Common practice, no source.
 */
const SLOPE_PER_YEAR = 0.05;

/**
 * Without a weekday profile it is not known which days the part of a week at the end of a horizon falls on:
 * standard deviation of its duty, in days of average duty. Common practice, no source.
 */
const PART_WEEK_DAYS = 0.35;

/**
 * Before two years of data the season is not known: relative standard deviation of its effect, and the
 * horizon over which it comes in, days. Common practice, no source.
 */
const UNSEEN_SEASON = 0.04;
const UNSEEN_SEASON_DAYS = 60;

/**
 * The steepest relative drift (1/day) for which every quantile of the cycles still rises with time; see
 * cyclesAtDeviate.
 */
export const MAX_RELATIVE_DRIFT = 0.9 / DRIFT_MEMORY_DAYS;

/** Level below which a door counts as standing still, cycles a day. */
export const MIN_LEVEL = 1e-3;

/** Days' worth of average duty in the `daysAhead` days after the model's instant, with weekday and season. */
export function dutyDays(model: DutyModel, daysAhead: number): number {
  let days = daysAhead;
  if (model.weekday !== null && model.lastReadingAt !== null) {
    const gap = (model.asOf - model.lastReadingAt) / DAY_MS;
    days = weekdayDays(model.weekday, gap + daysAhead) - weekdayDays(model.weekday, gap);
  }
  return seasonalDays(model.seasonal, model.asOf, days);
}

/**
 * Squared coefficient of variation of the cycles in the `daysAhead` days after the model's instant: doubt
 * about the level; what it may gain by drift, an unknown slope and an unseen season; the part of a week;
 * counting noise.
 */
export function relativeVariance(model: DutyModel, daysAhead: number): number {
  const level = Math.max(model.level, MIN_LEVEL);
  const square = level * level;
  const drift = Math.min(model.driftVariancePerDay / square, MAX_RELATIVE_DRIFT);
  const remembered = daysAhead / (1 + daysAhead / DRIFT_MEMORY_DAYS);
  const slope = (SLOPE_PER_YEAR / 365) * 0.5 * remembered;
  const partWeek = model.weekday === null ? (PART_WEEK_DAYS * PART_WEEK_DAYS) / (daysAhead * (daysAhead + 1)) : 0;
  const unseenSeason =
    model.seasonal === null ? (UNSEEN_SEASON * UNSEEN_SEASON * daysAhead) / (UNSEEN_SEASON_DAYS + daysAhead) : 0;
  const unsure = model.levelVariance / square;
  // A level that is hardly known has little to drift away from; without this the low quantiles would fall
  // with time.
  const growth = ((drift * remembered) / 3 + slope * slope + unseenSeason) / (1 + 10 * unsure);
  return unsure + growth + partWeek + model.dispersion / (level * daysAhead);
}

/**
 * Further cycles at `daysAhead` at a standard normal deviate: the quantile of a gamma distribution of the
 * model's mean and variance by the cube-root rule of Wilson and Hilferty (1931). Gamma, because the rates of
 * peers and the counts given a rate are; the cube root, because it turns around in closed form. Rises with
 * `daysAhead` for deviates within ±2, and within ±3 but for parts of a cycle.
 */
export function cyclesAtDeviate(model: DutyModel, daysAhead: number, deviate: number): number {
  if (!(daysAhead > 0)) return 0;
  return atDeviate(meanCycles(model, daysAhead), relativeVariance(model, daysAhead) / 9, deviate);
}

/**
 * The same at several deviates, written into `cycles`: mean and variance are worked out once, and no number is
 * handed about that would have to be allocated.
 */
export function cyclesAtDeviates(
  model: DutyModel,
  daysAhead: number,
  deviates: Float64Array,
  cycles: Float64Array,
): void {
  const mean = daysAhead > 0 ? meanCycles(model, daysAhead) : 0;
  const ninth = daysAhead > 0 ? relativeVariance(model, daysAhead) / 9 : 0;
  for (let i = 0; i < deviates.length; i++) cycles[i] = atDeviate(mean, ninth, deviates[i]!);
}

function meanCycles(model: DutyModel, daysAhead: number): number {
  return Math.max(model.level, MIN_LEVEL) * dutyDays(model, daysAhead);
}

function atDeviate(mean: number, ninth: number, deviate: number): number {
  const root = 1 - ninth + deviate * Math.sqrt(ninth);
  return root <= 0 ? 0 : mean * root * root * root;
}
