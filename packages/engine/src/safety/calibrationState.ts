import { addDays } from 'date-fns/addDays';
import { monthsAfter } from '../upkeep/calendarDue.js';
import { type CivilDate, formatCivilDate, parseCivilDate } from '../upkeep/index.js';

/** So many days before its end a calibration is called due soon. A choice of this project, no source. */
export const CALIBRATION_SOON_DAYS = 60;

export type CalibrationState = 'never' | 'out-of-date' | 'due-soon' | 'in-date';

export interface CalibrationDates {
  calibratedOn: CivilDate;
  /** The last day by its certificate; absent: it names none. */
  dueOn?: CivilDate;
}

/**
 * The last day on which an instrument may be used: the end that its certificate names, or `months` calendar months after the
 * calibration where a limit is set, whichever is earlier. Undefined where neither is known.
 * @throws RangeError naming the field, if a date is none.
 */
export function calibrationGoodThrough({ calibratedOn, dueOn }: CalibrationDates, months?: number): CivilDate | undefined {
  const byInterval = months === undefined ? undefined : monthsAfter(parseCivilDate(calibratedOn, 'calibratedOn'), months);
  if (dueOn !== undefined) parseCivilDate(dueOn, 'dueOn');
  if (byInterval === undefined || dueOn === undefined) return byInterval ?? dueOn;
  return byInterval < dueOn ? byInterval : dueOn;
}

/**
 * How an instrument stands on a day, by the last day on which it may be used (absent: never calibrated): out of date from the
 * day after it, due soon from 60 days before it.
 */
export function calibrationState(goodThrough: CivilDate | undefined, on: CivilDate): CalibrationState {
  const day = parseCivilDate(on, 'on');
  if (goodThrough === undefined) return 'never';
  if (goodThrough < on) return 'out-of-date';
  return goodThrough <= formatCivilDate(addDays(day, CALIBRATION_SOON_DAYS)) ? 'due-soon' : 'in-date';
}
