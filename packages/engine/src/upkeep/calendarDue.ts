import type { UTCDate } from '@date-fns/utc';
import { addMonths } from 'date-fns/addMonths';
import { differenceInCalendarDays } from 'date-fns/differenceInCalendarDays';
import { differenceInCalendarMonths } from 'date-fns/differenceInCalendarMonths';
import { formatCivilDate } from './civilDate.js';
import type { CivilDate, TaskBasis } from './types.js';

/**
 * The date `months` calendar months after another: the same day of the month, or the last day of a month that
 * lacks it (31 Jan + 1 month = last of Feb). RFC 5545 recurrence leaves such months out; an inspection must not
 * be left out.
 */
export function monthsAfter(date: UTCDate, months: number): CivilDate {
  return formatCivilDate(addMonths(date, months));
}

/**
 * The next occurrence of a task on fixed dates, `fixedFrom` + 0, 1, 2 ... times `months` (each counted from
 * `fixedFrom`, so that a short month does not shift those after it), strictly after the basis.
 *
 * A completion up to `earlyDays` before an occurrence is the one meant for it, and the occurrence after that is
 * the next; but only if the completion lies nearer to it than to the occurrence before, for which else it was
 * merely late. So no two are ever skipped. Coming into service completes nothing.
 */
export function fixedDue(
  fixedFrom: UTCDate,
  months: number,
  basis: TaskBasis,
  basisOn: UTCDate,
  earlyDays: number,
): CivilDate {
  const occurrence = (k: number) => addMonths(fixedFrom, k * months);
  let next = Math.max(0, Math.floor(differenceInCalendarMonths(basisOn, fixedFrom) / months));
  while (occurrence(next) <= basisOn) next++;
  if (basis.kind === 'completion') {
    const toNext = differenceInCalendarDays(occurrence(next), basisOn);
    const sinceLast = next === 0 ? Infinity : differenceInCalendarDays(basisOn, occurrence(next - 1));
    if (toNext <= earlyDays && toNext < sinceLast) next++;
  }
  return formatCivilDate(occurrence(next));
}
