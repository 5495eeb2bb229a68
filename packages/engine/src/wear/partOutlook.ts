import type { DutyNodes } from '../duty/index.js';
import { HORIZON_DAYS } from '../duty/index.js';
import type { Quantiles } from '../shared/quantiles.js';
import { conditionOf } from './conditionOf.js';
import { remainingLife } from './remainingLife.js';
import { cumulativeHazard } from './survivalTable.js';
import type { PartOutlook, WearModel } from './types.js';

/** Shortest time that is told apart from 'now', in days. */
const SHORTEST_DAYS = 0.01;
const LOG_SHORTEST = Math.log(SHORTEST_DAYS);
const LOG_HORIZON = Math.log(HORIZON_DAYS);
/** Of a date: relative to the days ahead, about. */
const PRECISION = 1e-4;
const MAX_STEPS = 60;

/** Cycles on the duty nodes, kept from part to part so that 60,000 parts a night allocate none. */
let scratch = new Float64Array(8);

/** A part whose chance of ending by a day is asked, again and again. */
interface Ageing {
  model: WearModel;
  age: number;
  /** Cumulative hazard at the age. */
  hazard: number;
  /** Null: the part ages by days. */
  duty: DutyNodes | null;
}

/**
 * When is a fitted part likely to end, in its own unit and in days? `age` in the model's unit at the duty
 * model's `asOf`; `duty` as `dutyNodes(model)` gives it, made once a door.
 *
 * For parts that age by cycles, life and duty are crossed: P(T ≤ t) = Σⱼ vⱼ F̄(age + Cⱼ(t) | age) over the duty
 * nodes; days that age a part count one a day. `daysAhead` is found to about 0.01 %, and is HORIZON_DAYS for
 * 'not within a hundred years'. A dozen evaluations; allocates its answer and little more.
 * @throws RangeError if `age` is not at least 0, or the model counts cycles and `duty` is null.
 */
export function partOutlook(model: WearModel, age: number, duty: DutyNodes | null): PartOutlook {
  if (model.unit === 'cycles' && duty === null)
    throw new RangeError('duty is needed for a part that ages by cycles');
  const remaining = remainingLife(model, age);
  const hazard = cumulativeHazard(model.table, age);
  const part: Ageing = { model, age, hazard, duty: model.unit === 'cycles' ? duty : null };
  const chance30 = chanceWithin(part, 30);
  const chance90 = chanceWithin(part, 90);
  const chance365 = chanceWithin(part, 365);
  return {
    unit: model.unit,
    remaining,
    daysAhead: part.duty === null ? withinHorizon(remaining) : datesAhead(part, chance90, chance365),
    chance30,
    chance90,
    chance365,
    condition: conditionOf(chance90, chance365),
  };
}

function withinHorizon(days: Quantiles): Quantiles {
  return {
    p10: Math.min(days.p10, HORIZON_DAYS),
    p50: Math.min(days.p50, HORIZON_DAYS),
    p90: Math.min(days.p90, HORIZON_DAYS),
  };
}

/** P(T ≤ days). */
function chanceWithin({ model, age, hazard, duty }: Ageing, days: number): number {
  if (duty === null) return -Math.expm1(hazard - cumulativeHazard(model.table, age + days));
  let chance = 0;
  if (scratch.length < duty.weights.length) scratch = new Float64Array(duty.weights.length);
  duty.cyclesInto(days, scratch);
  for (let node = 0; node < duty.weights.length; node++) {
    const further = scratch[node]!;
    if (further > 0)
      chance -= duty.weights[node]! * Math.expm1(hazard - cumulativeHazard(model.table, age + further));
  }
  return chance;
}

/** The three dates, early to late, each search starting from what is known by then. */
function datesAhead(part: Ageing, chance90: number, chance365: number): Quantiles {
  const year = onPaper(chance365);
  const slope = (year - onPaper(chance90)) / Math.log(365 / 90);
  const p10 = daysTo(part, 0.1, 365, year, slope);
  const p50 = Math.max(p10, daysTo(part, 0.5, 365, year, slope));
  return { p10, p50, p90: Math.max(p50, daysTo(part, 0.9, p50, onPaper(0.5), slope)) };
}

/**
 * Days at which the chance reaches `quantile`. Secant steps on Weibull paper, where the chance is nearly a
 * straight line of the days, from a known point (`days`, `paper`) and slope; inside a bracket that is halved
 * when a step would leave it.
 */
function daysTo(part: Ageing, quantile: number, days: number, paper: number, slope: number): number {
  const target = Math.log(-Math.log1p(-quantile));
  let low = LOG_SHORTEST;
  let high = LOG_HORIZON;
  let at = Math.log(days);
  let miss = paper - target;
  let rise = slope > 0 ? slope : 1;
  for (let step = 0; step < MAX_STEPS; step++) {
    if (miss < 0) low = Math.max(low, at);
    else high = Math.min(high, at);
    if (Math.abs(miss) < PRECISION) return Math.min(HORIZON_DAYS, Math.exp(at));
    if (high - low < PRECISION) break;
    let next = at - miss / rise;
    if (!(next > low)) next = low === LOG_SHORTEST && step < 2 ? low : 0.5 * (low + high);
    else if (!(next < high)) next = high === LOG_HORIZON && step < 2 ? high : 0.5 * (low + high);
    const missNext = onPaper(chanceWithin(part, Math.exp(next))) - target;
    if (next === LOG_HORIZON && missNext < 0) return HORIZON_DAYS;
    if (next === LOG_SHORTEST && missNext > 0) return SHORTEST_DAYS;
    const secant = (missNext - miss) / (next - at);
    if (secant > 0 && secant < Infinity) rise = secant;
    at = next;
    miss = missNext;
  }
  return high === LOG_HORIZON ? HORIZON_DAYS : Math.exp(high);
}

/** ln(−ln(1 − chance)), kept finite for chances of 0 and 1. */
function onPaper(chance: number): number {
  return Math.log(-Math.log1p(-Math.min(1 - 1e-15, Math.max(1e-300, chance))));
}
