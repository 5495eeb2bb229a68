import { fitPowerLaw } from './fitPowerLaw.js';
import { laplaceTest } from './trendTests.js';
import type { RepairHistory } from './types.js';

/** Getting worse, steady, getting better, or too little to say. */
export type TrendVerdict = 'worse' | 'steady' | 'better' | 'too-little';

export interface RepairTrend {
  verdict: TrendVerdict;
  events: number;
  /** Laplace's z and its two-sided chance; null without an event. */
  laplace: number | null;
  pValue: number | null;
  /** Power law (t/intensityScale)^shape of the expected events of a unit; null where there is no fit. */
  shape: number | null;
  intensityScale: number | null;
}

/** A trend counts when as much by luck has a chance below this (common practice, no source). */
export const TREND_CHANCE = 0.05;
/** With fewer events the test's normal law is too rough (common practice, no source). */
export const LEAST_EVENTS_FOR_TREND = 4;
/**
 * With fewer events a trend would hardly show, so that none seen is no evidence of none (common practice, no
 * source).
 */
export const LEAST_EVENTS_FOR_STEADY = 8;

/**
 * Is a door, or a pool of doors, getting worse? Laplace's test decides, the power law says how fast. O(events +
 * units).
 * @throws RangeError as `checkHistories`.
 */
export function repairTrend(histories: readonly RepairHistory[]): RepairTrend {
  const test = laplaceTest(histories);
  const fit = fitPowerLaw(histories);
  const events = histories.reduce((sum, history) => sum + history.events.length, 0);
  return {
    verdict: test === null ? 'too-little' : verdictOf(test, events),
    events,
    laplace: test?.z ?? null,
    pValue: test?.pValue ?? null,
    shape: 'none' in fit ? null : fit.shape,
    intensityScale: 'none' in fit ? null : fit.scale,
  };
}

function verdictOf(test: { z: number; pValue: number }, events: number): TrendVerdict {
  if (events >= LEAST_EVENTS_FOR_TREND && test.pValue < TREND_CHANCE) return test.z > 0 ? 'worse' : 'better';
  return events >= LEAST_EVENTS_FOR_STEADY ? 'steady' : 'too-little';
}
