import { type CivilDate, parseCivilDate } from '../upkeep/index.js';
import { calibrationGoodThrough } from './calibrationState.js';
import type { Facts, ForceLimitId, ForceLimitTable } from './types.js';

/** A force gauge as its papers describe it. */
export interface ForceGauge {
  samplingHertz: number;
  accuracyPercent: number;
  rangeFromNewton: number;
  rangeToNewton: number;
  springNewtonPerMm: number;
  discMm: number;
  /** Date of the last calibration; absent: not known. */
  calibratedOn?: CivilDate;
  /** The last day on which that calibration is good by its certificate; absent: it names none. */
  calibrationDueOn?: CivilDate;
}

export type GaugeReasonCode =
  | 'sampling-too-slow'
  | 'accuracy-too-coarse'
  | 'range-starts-too-high'
  | 'range-ends-too-low'
  | 'spring-differs'
  | 'disc-differs'
  | 'calibration-unknown'
  | 'calibration-in-future'
  | 'calibration-expired';

export interface GaugeReason {
  code: GaugeReasonCode;
  facts: Facts;
}

/**
 * Why a gauge may not be used for a closing force test on a day: empty if it may. Good through the day that lies the
 * calibration interval after its calibration, or through the end that its certificate names where that is earlier; expired from
 * the day after.
 * @throws RangeError naming the field, if a date is none.
 */
export function checkGauge(gauge: ForceGauge, usedOn: CivilDate, table: ForceLimitTable): GaugeReason[] {
  const value = (id: ForceLimitId): number => table.rows[id].value;
  const reasons: GaugeReason[] = [];
  // Each asked as "is it good?", so that a value which is no number is a reason too.
  const demand = (good: boolean, code: GaugeReasonCode, facts: Facts): void => {
    if (!good) reasons.push({ code, facts });
  };
  const { samplingHertz, accuracyPercent, rangeFromNewton, rangeToNewton, springNewtonPerMm, discMm } = gauge;
  const leastHertz = value('gauge-sampling');
  demand(samplingHertz >= leastHertz, 'sampling-too-slow', { hertz: samplingHertz, leastHertz });
  const mostPercent = value('gauge-accuracy');
  demand(Math.abs(accuracyPercent) <= mostPercent, 'accuracy-too-coarse', { accuracyPercent, mostPercent });
  const fromNewton = value('gauge-range-from');
  demand(rangeFromNewton <= fromNewton, 'range-starts-too-high', { rangeFromNewton, mostNewton: fromNewton });
  const toNewton = value('gauge-range-to');
  demand(rangeToNewton >= toNewton, 'range-ends-too-low', { rangeToNewton, leastNewton: toNewton });
  const spring = value('gauge-spring');
  const tolerance = value('gauge-spring-tolerance');
  const facts = { springNewtonPerMm, expected: spring, tolerance };
  demand(Math.abs(springNewtonPerMm - spring) <= tolerance, 'spring-differs', facts);
  demand(discMm === value('gauge-disc'), 'disc-differs', { discMm, expectedMm: value('gauge-disc') });
  const calibration = calibrationReason(gauge, usedOn, value('gauge-calibration'));
  return calibration ? [...reasons, calibration] : reasons;
}

function calibrationReason({ calibratedOn, calibrationDueOn }: ForceGauge, usedOn: CivilDate, months: number): GaugeReason | undefined {
  parseCivilDate(usedOn, 'usedOn');
  if (calibratedOn === undefined) return { code: 'calibration-unknown', facts: {} };
  const dates = { calibratedOn, ...(calibrationDueOn !== undefined && { dueOn: calibrationDueOn }) };
  const goodThrough = calibrationGoodThrough(dates, months)!;
  if (calibratedOn > usedOn) return { code: 'calibration-in-future', facts: { calibratedOn, usedOn } };
  return usedOn > goodThrough ? { code: 'calibration-expired', facts: { calibratedOn, goodThrough, usedOn } } : undefined;
}
