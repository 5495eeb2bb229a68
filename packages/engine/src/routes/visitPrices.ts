import { differenceInCalendarDays } from 'date-fns';
import { parseCivilDate } from '../upkeep/civilDate.js';
import type { CivilDate } from '../upkeep/types.js';
import type { Demand, VisitItem, VisitPrices } from './visitTypes.js';

/**
 * An overdue safety inspection that is left out costs as much as so many days of it: no saving elsewhere outweighs it.
 * A choice of this project, no source.
 */
const SAFETY_LEFT_OUT_DAYS = 200;

/** Days from one civil date to another; negative when it lies before. */
export function daysBetween(from: CivilDate, to: CivilDate): number {
  return differenceInCalendarDays(parseCivilDate(to, 'to'), parseCivilDate(from, 'from'));
}

/** Price of a day that an overdue safety inspection stays undone: never below that of any other work, whatever was given. */
export function safetyDay({ lateDay }: VisitPrices): number {
  return Math.max(...Object.values(lateDay));
}

/** Prices of a day later and a day earlier than due, minor units. */
export function dayPrices(demand: Demand, prices: VisitPrices): { lateDay: number; earlyDay: number } {
  const { lateDay } = prices;
  const late = demand.kind === 'finding' ? lateDay[demand.grade ?? 'defect'] : lateDay[demand.kind === 'safety' ? 'due' : demand.kind];
  const worth = demand.minutes * prices.perMinute;
  return { lateDay: late, earlyDay: demand.intervalDays ? worth / demand.intervalDays : 0 };
}

/** Days late before the plan begins are nobody's to save any more: they are shown, and cost no plan anything. */
export interface DayPricing {
  prices: VisitPrices;
  /** The first day of the plan. */
  since: CivilDate;
}

export interface DayPrice {
  late: number;
  early: number;
}

/** What doing an item on a day costs in lateness and in life thrown away by coming early. */
export function itemDayPrice(item: VisitItem, on: CivilDate, { prices, since }: DayPricing): DayPrice {
  if (item.dueOn === null) return { late: 0, early: 0 };
  const days = daysBetween(item.dueOn, on) - Math.max(0, daysBetween(item.dueOn, since));
  const overdue = overdueDays(item, on) - overdueDays(item, since);
  return {
    late: Math.max(0, days) * item.lateDay + (item.kind === 'safety' ? overdue * safetyDay(prices) : 0),
    early: Math.max(0, -days) * item.earlyDay,
  };
}

/** Days after the latest date (where there is none: after the due date); 0: in time. */
export function overdueDays(item: Demand, on: CivilDate): number {
  const last = item.latestOn ?? item.dueOn;
  return last === null ? 0 : Math.max(0, daysBetween(last, on));
}

export function visitDayPrice(items: readonly VisitItem[], on: CivilDate, pricing: DayPricing): DayPrice {
  const sum = { late: 0, early: 0 };
  for (const item of items) {
    const { late, early } = itemDayPrice(item, on, pricing);
    sum.late += late;
    sum.early += early;
  }
  return sum;
}

/** What leaving the visit out costs: its lateness on the first day on which another plan could have it. */
export function leftOutPrice(items: readonly VisitItem[], nextOn: CivilDate, pricing: DayPricing): number {
  const overdue = items.some((item) => item.kind === 'safety' && overdueDays(item, nextOn) > 0);
  return visitDayPrice(items, nextOn, pricing).late + (overdue ? SAFETY_LEFT_OUT_DAYS * safetyDay(pricing.prices) : 0);
}
