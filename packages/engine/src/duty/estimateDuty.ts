import { blocksOf, readingsUntil } from './blocks.js';
import type { Blocks } from './blocks.js';
import { dutyDays, MAX_RELATIVE_DRIFT, MIN_LEVEL, Z90 } from './cycleSpread.js';
import { DAY_MS } from './days.js';
import { levelChanges, noisePerDay } from './levelChanges.js';
import { filterLevel } from './levelFilter.js';
import { deseasonalise, fitSeason } from './seasonFit.js';
import type { CycleHistory, DutyModel, RatePrior } from './types.js';
import { fitWeekdays } from './weekdayFit.js';

/**
 * How hard does the door work, as of an instant?
 *
 * The rate is a level that drifts slowly, seen through over-dispersed counts, shrunk towards its peers by as
 * much as its own data are few: a local-level filter over blocks of about a week (see filterLevel), started
 * afresh at abrupt changes (levelChanges), with the season of the year taken out once two years are there
 * (fitSeason) and a weekday profile where readings are daily (fitWeekdays). Old data fade by the drift.
 * Daily, sparse, one or no reading: the same path.
 *
 * `history` as from unwrap; readings after `asOf` are not looked at. `asOf` in milliseconds. Without any
 * reading `lifetimeCycles` is what the peers' rate makes since the counter's fitting, or 0 if that is not
 * known. O(n), plus O(blocks × harmonics²) with a season.
 * @throws RangeError naming the field that is not a finite number, or a prior that is not positive.
 */
export function estimateDuty(history: CycleHistory, prior: RatePrior, asOf: number): DutyModel {
  if (!Number.isFinite(asOf)) throw new RangeError('asOf must be a finite number of milliseconds');
  if (!(prior.cyclesPerDay > 0 && prior.cyclesPerDay < Infinity)) {
    throw new RangeError('prior.cyclesPerDay must be above 0');
  }
  if (!(prior.variance >= 0 && prior.variance < Infinity)) {
    throw new RangeError('prior.variance must be 0 or more');
  }
  const readings = readingsUntil(history, asOf);
  const lastReadingAt = readings > 0 ? history.at[readings - 1]! : null;
  const blocks = blocksOf(history, readings);
  let noise = noisePerDay(blocks);
  let changes = levelChanges(blocks, noise);
  let seasonal: number[] | null = null;
  if (lastReadingAt !== null) {
    seasonal = fitSeason(blocks, changes, lastReadingAt);
    if (seasonal !== null) {
      deseasonalise(blocks, seasonal, lastReadingAt);
      noise = noisePerDay(blocks);
      changes = levelChanges(blocks, noise);
    }
  }
  const found = filterLevel(blocks, changes, { mean: prior.cyclesPerDay, variance: prior.variance }, noise);
  // A rate is positive: never less sure than give or take itself.
  const level = Math.max(found.level, Math.sqrt(found.variance), MIN_LEVEL);
  const carriedFrom = lastReadingAt ?? (history.start && history.start.at <= asOf ? history.start.at : asOf);
  const model: DutyModel = {
    asOf: carriedFrom,
    lifetimeCycles: readings > 0 ? history.cycles[readings - 1]! : (history.start?.cycles ?? 0),
    cyclesPerDay: { p10: level, p50: level, p90: level },
    level,
    levelVariance: found.variance,
    driftVariancePerDay: Math.min(found.driftVariancePerDay, MAX_RELATIVE_DRIFT * level * level),
    dispersion: found.noisePerDay / level,
    readings,
    lastReadingAt,
    changedAt: changedAt(blocks, changes, lastReadingAt),
    weekday: fitWeekdays(history, readings),
    seasonal,
  };
  return carriedTo(model, asOf);
}

/** Carries a model on to a later instant: its cycles by the level, its level's variance by the drift. */
function carriedTo(model: DutyModel, asOf: number): DutyModel {
  const gapDays = (asOf - model.asOf) / DAY_MS;
  if (gapDays > 0) {
    model.lifetimeCycles += model.level * dutyDays(model, gapDays);
    model.levelVariance += model.driftVariancePerDay * gapDays;
    model.asOf = asOf;
  }
  const ninth = model.levelVariance / (9 * model.level * model.level);
  const at = (deviate: number) => model.level * Math.max(0, 1 - ninth + deviate * Math.sqrt(ninth)) ** 3;
  model.cyclesPerDay = { p10: at(-Z90), p50: at(0), p90: at(Z90) };
  return model;
}

function changedAt(blocks: Blocks, changes: readonly number[], lastReadingAt: number | null): number | null {
  const latest = changes.at(-1);
  return latest === undefined || lastReadingAt === null ? null : lastReadingAt + blocks.from[latest]! * DAY_MS;
}
