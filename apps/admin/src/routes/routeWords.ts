import type { PlanNotice, PlanVisit, RoutePlanState, UnservedReasonWord, VisitCosts, VisitItem, VisitItemKindWord } from '@lintel/contract';
import { count, formatDate, formatMinutes, formatMoney } from '@lintel/ui';

/** Words and sentences of routes, made from the codes and facts of the wire. */

export const planStateWords: Record<RoutePlanState, string> = {
  waiting: 'waiting to be made',
  solving: 'being made',
  draft: 'draft',
  accepted: 'accepted',
  published: 'published',
  superseded: 'replaced',
  discarded: 'thrown away',
  failed: 'could not be made',
};

export const itemKindWords: Record<VisitItemKindWord, string> = {
  safety: 'Safety inspection',
  due: 'Maintenance',
  renewal: 'Renewal',
  finding: 'Finding',
  order: 'Work order',
};

export const reasonWords: Record<'ill' | 'site-moved' | 'urgent' | 'other', string> = {
  ill: 'A technician is not there',
  'site-moved': 'A site asked for another time',
  urgent: 'Urgent work came in',
  other: 'Something else',
};

export const weekdayWords = ['Monday', 'Tuesday', 'Wednesday', 'Thursday', 'Friday', 'Saturday', 'Sunday'] as const;

/** Why a visit is left out of the plan. */
export function unservedSentence(reason: UnservedReasonWord | null, { skills, costs }: Pick<PlanVisit, 'skills' | 'costs'>, currency: string): string {
  switch (reason) {
    case 'no-skill':
      return `No technician of the plan has all that it asks for: ${skills.join(', ') || 'its skills'}.`;
    case 'load':
      return 'Its parts do not fit into any van that is left.';
    case 'no-hours':
      return 'No technician has the time for it within the hours of any day.';
    case 'window':
      return 'Somebody has the time, but not while the site can be entered.';
    case 'price':
      return `Going there costs more than leaving it for later (${formatMoney(costs.unserved, currency)}).`;
    case 'no-place':
      return 'The site has no coordinates: give it its place, then make the plan again.';
    case null:
      return 'It was taken out by hand.';
  }
}

type Fact = Record<string, string | number>;
const dateOf = (facts: Fact, key: string): string => (typeof facts[key] === 'string' ? formatDate(facts[key]) : 'a day not named');
const numberOf = (facts: Fact, key: string): number => Number(facts[key] ?? 0);

/** Why a piece of work is part of a visit. */
export function joinSentence({ joins: { code, facts }, kind }: Pick<VisitItem, 'joins' | 'kind'>, currency: string): string {
  switch (code) {
    case 'due':
      return `Falls due on ${dateOf(facts, 'dueOn')}.`;
    case 'late':
      return `Was due on ${dateOf(facts, 'dueOn')}, ${count(numberOf(facts, 'days'), 'day')} before this visit was opened.`;
    case 'saves-trip':
      return `Due on ${dateOf(facts, 'dueOn')}; coming ${count(numberOf(facts, 'days'), 'day')} early throws away ${formatMoney(numberOf(facts, 'costs'), currency)} of its life and saves a trip of ${formatMoney(numberOf(facts, 'saves'), currency)}.`;
    case 'worth-while':
      return `Renewing it while one is there saves ${formatMoney(numberOf(facts, 'saves'), currency)} for ${formatMoney(numberOf(facts, 'costs'), currency)} of work.`;
    case 'ordered':
      return 'dueOn' in facts ? `A work order is open, due on ${dateOf(facts, 'dueOn')}.` : 'A work order is open.';
    case 'seen':
      return kind === 'finding' && facts['grade'] === 'unsafe' ? 'A finding makes the door unsafe: it comes first.' : `A finding is open${typeof facts['grade'] === 'string' ? `: ${facts['grade']}` : ''}.`;
  }
}

/** How late the plan has a piece of work done; empty: in time. */
export function overdueSentence({ overdueDays, kind }: Pick<VisitItem, 'overdueDays' | 'kind'>): string {
  if (overdueDays === 0) return '';
  return kind === 'safety' ? `Overdue by ${count(overdueDays, 'day')} when it is done.` : `${count(overdueDays, 'day')} late when it is done.`;
}

const noticeWords: Record<PlanNotice['code'], (facts: Fact) => string> = {
  'travel-estimated': (facts) => `${count(numberOf(facts, 'legs'), 'journey')} are estimated from the distance in a straight line (× ${facts['detourFactor']} at ${facts['speedKmh']} km/h).`,
  'travel-server-failed': (facts) => `The routing server did not answer (${facts['reason']}); travel is estimated.`,
  'site-without-place': (facts) => `${facts['site']} has no coordinates and cannot be planned.`,
  'technician-without-shift': (facts) => `${facts['technician']} has no hours in these days.`,
  'technician-without-skill': (facts) => `${facts['technician']} has no skills named.`,
  'safety-overdue': (facts) => `${count(numberOf(facts, 'items'), 'safety inspection')} overdue before the plan begins.`,
  'safety-left-out': (facts) => `${count(numberOf(facts, 'items'), 'safety inspection')} at ${facts['site']} left out of the plan.`,
  'stock-missing': (facts) => `${count(numberOf(facts, 'parts'), 'part')} missing in the vans, of ${count(numberOf(facts, 'kinds'), 'kind')}.`,
  'kept-not-possible': (facts) => `The visit to ${facts['site']} was locked, and could not be kept where it was.`,
  'nothing-to-do': () => 'Nothing falls due in these days.',
};

export const noticeSentence = ({ code, facts }: PlanNotice): string => noticeWords[code](facts);

/** Notices that must be acted on. */
export const graveNotice = ({ code }: PlanNotice): boolean => code.startsWith('safety') || code === 'stock-missing' || code === 'kept-not-possible' || code === 'travel-server-failed';

export const costWords: Record<keyof VisitCosts, string> = {
  travel: 'Travel',
  late: 'Lateness',
  early: 'Life thrown away by coming early',
  trip: 'Trips',
  moved: 'Announced visits moved',
  unserved: 'Visits not served',
};

export function signedMoney(minorUnits: number, currency: string): string {
  if (Math.abs(minorUnits) < 0.5) return `±${formatMoney(0, currency)}`;
  return `${minorUnits > 0 ? '+' : '−'}${formatMoney(Math.abs(minorUnits), currency)}`;
}

interface BreachWord {
  kind: 'skill' | 'load' | 'window' | 'hours' | 'fixed';
  stop?: string | undefined;
  excess: number;
}
export interface BreachNames {
  technician: string;
  siteOf: (visitId: string) => string;
  skills: readonly string[];
}

/** More than that is no delay any more but another day. Minutes. */
const ANOTHER_DAY = 12 * 60;

/** Why a visit cannot be at a place. */
export function breachSentence({ kind, stop, excess }: BreachWord, { technician, siteOf, skills }: BreachNames): string {
  switch (kind) {
    case 'skill':
      return `${technician} lacks ${excess === 1 ? 'a skill' : count(excess, 'skill')} that it asks for (${skills.join(', ')}).`;
    case 'load':
      return `The van would carry ${Math.ceil(excess)} kg too much.`;
    case 'hours':
      return excess > ANOTHER_DAY ? 'The way there and the hours of the site do not fit into this shift.' : `${technician} would be home ${formatMinutes(Math.ceil(excess))} after the shift ends.`;
    case 'window':
      return excess > ANOTHER_DAY
        ? `${stop ? siteOf(stop) : 'The site'} cannot be reached while it may be entered.`
        : `${stop ? siteOf(stop) : 'The site'} would be reached ${formatMinutes(Math.ceil(excess))} after it closes.`;
    case 'fixed':
      return 'A visit is kept at another place.';
  }
}

interface Hours {
  weekday: number;
  from: string;
  to: string;
}

/** `07:00–12:00, 13:00–16:00`; empty: free. */
export function hoursOf(shifts: readonly Hours[], weekday: number): string {
  return shifts.filter((shift) => shift.weekday === weekday).sort((a, b) => (a.from < b.from ? -1 : 1)).map(({ from, to }) => `${from}–${to}`).join(', ');
}

/** The hours of a week in a line, days alike in a row drawn together: `Mon–Fri 07:00–16:00`. */
export function hoursSentence(shifts: readonly Hours[]): string {
  const runs: { first: number; last: number; hours: string }[] = [];
  for (let weekday = 1; weekday <= 7; weekday++) {
    const hours = hoursOf(shifts, weekday);
    const run = runs.at(-1);
    if (hours === '') continue;
    if (run?.hours === hours && run.last === weekday - 1) run.last = weekday;
    else runs.push({ first: weekday, last: weekday, hours });
  }
  const short = (weekday: number) => weekdayWords[weekday - 1]!.slice(0, 3);
  return runs.map(({ first, last, hours }) => `${short(first)}${last > first ? `–${short(last)}` : ''} ${hours}`).join('; ') || 'none given';
}
