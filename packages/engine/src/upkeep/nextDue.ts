import type { UTCDate } from '@date-fns/utc';
import { addDays } from 'date-fns/addDays';
import type { DutyModel } from '../duty/index.js';
import { fixedDue, monthsAfter } from './calendarDue.js';
import { formatCivilDate, parseCivilDate } from './civilDate.js';
import { cyclesDue } from './cyclesDue.js';
import type { CivilDate, DueItem, DueReason, NotDue, TaskBasis, TaskRule } from './types.js';

/** The chance of being reached earlier that the cycle rule accepts: see `cyclesDue`. */
const SAFETY_QUANTILE = 0.1;
const USUAL_QUANTILE = 0.5;

/** A century of months and ten years of days: beyond them a typing error is likelier, and dates leave their form. */
const MOST_MONTHS = 1200;
const MOST_DAYS = 3653;

/** Where and when a task is looked at. */
export interface DueContext {
  /** IANA zone of the site. */
  timeZone: string;
  /** Today's date at the site. */
  today: CivilDate;
  /** Longest interval between safety inspections under the site's regime, months; null: none. Tightens only. */
  regimeMonths: number | null;
  duty: DutyModel | null;
}

interface CalendarDue {
  due: CivilDate;
  months: number;
  tightenedByRegime: boolean;
}

/**
 * When is a task next due on a door, and why?
 *
 * Due at the earlier of its calendar rule and its cycle rule; on a tie the calendar is named. For a safety
 * inspection the calendar rule is never later than the shorter of the task's months and the regime's after the
 * basis, not even with fixed dates, and nothing computed from cycles can put it off. May be done from
 * `earlyDays` before to `graceDays` after; overdue from the day after that. A date in the past stays there
 * until the task is done. O(1), some microseconds.
 * @returns the due item, or the reason why no date can be given.
 * @throws RangeError naming the field, if a date, the zone, an interval or a number of days is not valid.
 */
export function nextDue(task: TaskRule, basis: TaskBasis, context: DueContext): DueItem | NotDue {
  checkRule(task, context);
  const basisOn = parseCivilDate(basis.on, 'on');
  parseCivilDate(context.today, 'today');
  const calendar = calendarRule(task, basis, basisOn, context.regimeMonths);
  const { duty } = context;
  const cycles =
    task.intervalCycles === null || duty === null
      ? null
      : cyclesDue(task.intervalCycles, task.safety, basis, basisOn.getTime(), duty, context.timeZone);
  if (calendar !== null && (cycles === null || calendar.due <= cycles.due)) {
    return dueItem(task, context.today, calendar.due, {
      rule: 'calendar',
      basis,
      interval: calendar.months,
      tightenedByRegime: calendar.tightenedByRegime,
      cyclesToGo: null,
      quantile: null,
      lastReadingAt: null,
      otherRuleDue: cycles?.due ?? null,
    });
  }
  if (cycles !== null) {
    return dueItem(task, context.today, cycles.due, {
      rule: 'cycles',
      basis,
      interval: task.intervalCycles!,
      tightenedByRegime: false,
      cyclesToGo: cycles.cyclesToGo,
      quantile: task.safety ? SAFETY_QUANTILE : USUAL_QUANTILE,
      lastReadingAt: duty!.lastReadingAt,
      otherRuleDue: calendar?.due ?? null,
    });
  }
  if (task.intervalCycles === null)
    return { none: task.intervalMonths === null ? 'no-interval' : 'no-fixed-date' };
  return { none: duty === null ? 'no-duty' : 'not-within-a-century' };
}

function calendarRule(
  task: TaskRule,
  basis: TaskBasis,
  basisOn: UTCDate,
  regimeMonths: number | null,
): CalendarDue | null {
  const months = task.intervalMonths;
  let own: CivilDate | null = null;
  if (months !== null && task.anchor === 'completion') own = monthsAfter(basisOn, months);
  else if (months !== null && task.fixedFrom !== null) {
    own = fixedDue(parseCivilDate(task.fixedFrom, 'fixedFrom'), months, basis, basisOn, task.earlyDays);
  }
  const longest = task.safety ? Math.min(months ?? Infinity, regimeMonths ?? Infinity) : Infinity;
  const bound = longest === Infinity ? null : monthsAfter(basisOn, longest);
  if (bound !== null && (own === null || bound < own)) {
    return { due: bound, months: longest, tightenedByRegime: longest < (months ?? Infinity) };
  }
  return own === null ? null : { due: own, months: months!, tightenedByRegime: false };
}

function dueItem(task: TaskRule, today: CivilDate, due: CivilDate, why: DueReason): DueItem {
  const date = parseCivilDate(due, 'due');
  const earliest = task.earlyDays === 0 ? due : formatCivilDate(addDays(date, -task.earlyDays));
  const latest = task.graceDays === 0 ? due : formatCivilDate(addDays(date, task.graceDays));
  return { earliest, due, latest, overdue: today > latest, why };
}

function checkRule(task: TaskRule, context: DueContext): void {
  whole(task.intervalCycles, 'intervalCycles', 1, Number.MAX_SAFE_INTEGER);
  whole(task.intervalMonths, 'intervalMonths', 1, MOST_MONTHS);
  whole(context.regimeMonths, 'regimeMonths', 1, MOST_MONTHS);
  whole(task.earlyDays, 'earlyDays', 0, MOST_DAYS);
  whole(task.graceDays, 'graceDays', 0, MOST_DAYS);
}

function whole(value: number | null, field: string, least: number, most: number): void {
  if (value === null || (Number.isInteger(value) && value >= least && value <= most)) return;
  throw new RangeError(`${field} must be a whole number from ${least} to ${most}, not ${value}`);
}
