import type { Quantiles } from '../shared/quantiles.js';
import { cyclesAhead } from './cyclesAhead.js';
import { HORIZON_DAYS } from './cycleSpread.js';
import { DAY_MS } from './days.js';
import { daysUntil } from './daysUntil.js';
import { estimateDuty } from './estimateDuty.js';
import type { CounterSpan, DutyModel, RatePrior, RawReading, Verdict } from './types.js';
import { unwrap } from './unwrap.js';
import type { UnwrapOptions } from './unwrap.js';

/** What is asked of a counter's future. */
export interface ForecastQuestion {
  /** Instant from which the days count, milliseconds; readings after it are judged but not learnt from. */
  asOf: number;
  /** Horizons, days from `asOf`, 0 or more. */
  horizonsDays: readonly number[];
  /** Lifetime cycles whose date is asked; null: none. */
  target: number | null;
}

export interface CounterForecast {
  /** One per reading, in the order of the input. */
  verdicts: Verdict[];
  model: DutyModel;
  /** Lifetime cycles at each horizon. */
  horizons: { daysAhead: number; lifetimeCycles: Quantiles }[];
  /**
   * Days from `asOf` until the target, 0 if it is reached, HORIZON_DAYS if it never is; null: no target
   * asked.
   */
  targetDaysAhead: Quantiles | null;
}

/**
 * From what a counter showed to its lifetime cycles at given days ahead and the day of a given count, in one
 * go. Unlike cyclesAhead and daysUntil, which start from the carried-forward `lifetimeCycles` as if it were
 * certain, this one counts from the last used reading, so the doubt about the cycles made since is in the
 * answer. O(n log n).
 * @throws RangeError as unwrap, estimateDuty and cyclesAhead do.
 */
export function forecastCounter(
  readings: readonly RawReading[],
  counters: readonly CounterSpan[],
  options: UnwrapOptions,
  prior: RatePrior,
  question: ForecastQuestion,
): CounterForecast {
  const { verdicts, history } = unwrap(readings, counters, options);
  const model = estimateDuty(history, prior, question.asOf);
  const base = model.lastReadingAt === null ? model : estimateDuty(history, prior, model.lastReadingAt);
  const gapDays = (question.asOf - base.asOf) / DAY_MS;
  const horizons = question.horizonsDays.map((daysAhead) => {
    if (!(daysAhead >= 0)) throw new RangeError(`horizonsDays must be 0 or more, not ${daysAhead}`);
    const further = cyclesAhead(base, gapDays + daysAhead);
    const { lifetimeCycles } = base;
    return {
      daysAhead,
      lifetimeCycles: {
        p10: lifetimeCycles + further.p10,
        p50: lifetimeCycles + further.p50,
        p90: lifetimeCycles + further.p90,
      },
    };
  });
  return { verdicts, model, horizons, targetDaysAhead: targetDays(base, gapDays, question.target) };
}

function targetDays(base: DutyModel, gapDays: number, target: number | null): Quantiles | null {
  if (target === null) return null;
  const days = daysUntil(base, target - base.lifetimeCycles);
  const fromAsOf = (day: number) => (day >= HORIZON_DAYS ? HORIZON_DAYS : Math.max(0, day - gapDays));
  return { p10: fromAsOf(days.p10), p50: fromAsOf(days.p50), p90: fromAsOf(days.p90) };
}
