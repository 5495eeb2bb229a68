import { nextDue } from '@lintel/engine';
import type { CivilDate, DueItem, TaskBasis, TaskRule } from '@lintel/engine';
import rruleModule from 'rrule';
import { afterEach, beforeEach, describe, expect, it } from 'vitest';

const { RRule } = rruleModule;

const rule: TaskRule = {
  intervalCycles: null,
  intervalMonths: 12,
  anchor: 'completion',
  fixedFrom: null,
  safety: false,
  earlyDays: 0,
  graceDays: 0,
};

function due(
  task: TaskRule,
  basis: TaskBasis,
  timeZone: string,
  today: CivilDate,
  regimeMonths: number | null,
): DueItem {
  const item = nextDue(task, basis, { timeZone, today, regimeMonths, duty: null });
  if ('none' in item) throw new Error(item.none);
  return item;
}

/** Occurrences of fixed dates, each found from a completion on the one before. */
function occurrences(first: CivilDate, months: number, count: number, timeZone: string): CivilDate[] {
  const task: TaskRule = { ...rule, intervalMonths: months, anchor: 'fixed', fixedFrom: first };
  const dates = [first];
  while (dates.length < count) {
    const basis: TaskBasis = { kind: 'completion', on: dates.at(-1)!, lifetimeCycles: 0 };
    dates.push(due(task, basis, timeZone, first, null).due);
  }
  return dates;
}

/**
 * Several such rules together, in order, from a day on: what a list of BYMONTHDAY or BYMONTH says in one rule.
 */
function together(firsts: CivilDate[], months: number, from: CivilDate, count: number, timeZone: string): CivilDate[] {
  const dates = firsts.flatMap((first) => occurrences(first, months, count + 3, timeZone));
  return [...new Set(dates)]
    .filter((date) => date >= from)
    .sort()
    .slice(0, count);
}

/** The reference library's expansion of a rule. */
function expansion(text: string, start: CivilDate, count: number): CivilDate[] {
  const rrule = new RRule({ ...RRule.parseString(text), dtstart: new Date(`${start}T09:00:00Z`) });
  return rrule.all((_, i) => i < count).map((date) => date.toISOString().slice(0, 10));
}

// The machine's zone must not matter, so everything here runs under several, west and east of Greenwich, among
// them one whose clocks change at midnight (Santiago) and one that is 14 hours ahead (Kiritimati).
const machineZones = ['UTC', 'America/New_York', 'America/Santiago', 'Asia/Kolkata', 'Pacific/Kiritimati'];

describe.each(machineZones)('with the machine in %s', (machineZone) => {
  const before = process.env['TZ'];
  beforeEach(() => {
    process.env['TZ'] = machineZone;
  });
  afterEach(() => {
    if (before === undefined) delete process.env['TZ'];
    else process.env['TZ'] = before;
  });

  it('really is there', () => {
    expect(new Date(2026, 0, 1).getTimezoneOffset()).toBe(
      { UTC: 0, 'America/New_York': 300, 'America/Santiago': 180, 'Asia/Kolkata': -330, 'Pacific/Kiritimati': -840 }[
        machineZone
      ],
    );
  });

  // RFC 5545 section 3.8.5.3: those of its examples that months on fixed dates can say. DTSTART is in
  // America/New_York there. The dates are the RFC's (from memory), and those that rrule 2.8.1 and
  // python-dateutil both give.
  const examples: { text: string; start: CivilDate; firsts: CivilDate[]; months: number; dates: string }[] = [
    {
      text: 'FREQ=MONTHLY;BYMONTHDAY=2,15',
      start: '1997-09-02',
      firsts: ['1997-09-02', '1997-09-15'],
      months: 1,
      dates:
        '1997-09-02 1997-09-15 1997-10-02 1997-10-15 1997-11-02 1997-11-15 1997-12-02 1997-12-15 1998-01-02 1998-01-15',
    },
    {
      text: 'FREQ=MONTHLY;BYMONTHDAY=1,-1',
      start: '1997-09-30',
      firsts: ['1997-09-01', '1997-08-31'],
      months: 1,
      dates:
        '1997-09-30 1997-10-01 1997-10-31 1997-11-01 1997-11-30 1997-12-01 1997-12-31 1998-01-01 1998-01-31 1998-02-01',
    },
    {
      text: 'FREQ=MONTHLY;INTERVAL=18;BYMONTHDAY=10,11,12,13,14,15',
      start: '1997-09-10',
      firsts: ['1997-09-10', '1997-09-11', '1997-09-12', '1997-09-13', '1997-09-14', '1997-09-15'],
      months: 18,
      dates:
        '1997-09-10 1997-09-11 1997-09-12 1997-09-13 1997-09-14 1997-09-15 1999-03-10 1999-03-11 1999-03-12 1999-03-13',
    },
    {
      text: 'FREQ=YEARLY;BYMONTH=6,7',
      start: '1997-06-10',
      firsts: ['1997-06-10', '1997-07-10'],
      months: 12,
      dates:
        '1997-06-10 1997-07-10 1998-06-10 1998-07-10 1999-06-10 1999-07-10 2000-06-10 2000-07-10 2001-06-10 2001-07-10',
    },
    {
      text: 'FREQ=YEARLY;INTERVAL=2;BYMONTH=1,2,3',
      start: '1997-03-10',
      firsts: ['1997-01-10', '1997-02-10', '1997-03-10'],
      months: 24,
      dates:
        '1997-03-10 1999-01-10 1999-02-10 1999-03-10 2001-01-10 2001-02-10 2001-03-10 2003-01-10 2003-02-10 2003-03-10',
    },
    {
      text: 'FREQ=YEARLY;INTERVAL=3;BYYEARDAY=1',
      start: '1997-01-01',
      firsts: ['1997-01-01'],
      months: 36,
      dates: '1997-01-01 2000-01-01 2003-01-01 2006-01-01',
    },
  ];

  it.each(examples)('$text from $start', ({ text, start, firsts, months, dates }) => {
    const printed = dates.split(' ');
    expect(together(firsts, months, start, printed.length, 'America/New_York')).toEqual(printed);
    expect(expansion(text, start, printed.length)).toEqual(printed);
  });

  it('every month or number of months on a day up to the 28th, as the reference library has it, for years', () => {
    for (const day of ['01', '15', '28']) {
      for (const months of [1, 2, 3, 5, 6, 12, 18, 60]) {
        const start = `2023-03-${day}`;
        expect(occurrences(start, months, 40, 'Europe/Berlin')).toEqual(
          expansion(`FREQ=MONTHLY;INTERVAL=${months}`, start, 40),
        );
      }
    }
  });

  // RFC 5545: "invalid dates ... MUST be ignored", so February goes without. An inspection must not: ours moves
  // to the last day of the month, and returns to the day it was set to afterwards.
  it('never leaves a short month out, where a recurrence rule does', () => {
    expect(expansion('FREQ=MONTHLY;INTERVAL=3', '2024-11-30', 6).join(' ')).toBe(
      '2024-11-30 2025-05-30 2025-08-30 2025-11-30 2026-05-30 2026-08-30',
    );
    expect(occurrences('2024-11-30', 3, 6, 'Europe/Paris').join(' ')).toBe(
      '2024-11-30 2025-02-28 2025-05-30 2025-08-30 2025-11-30 2026-02-28',
    );
    expect(expansion('FREQ=YEARLY', '2024-02-29', 3).join(' ')).toBe('2024-02-29 2028-02-29 2032-02-29');
    expect(occurrences('2024-02-29', 12, 5, 'Europe/Paris').join(' ')).toBe(
      '2024-02-29 2025-02-28 2026-02-28 2027-02-28 2028-02-29',
    );
    // The RFC's own example of an ignored date.
    expect(expansion('FREQ=MONTHLY;BYMONTHDAY=15,30', '2007-01-15', 5).join(' ')).toBe(
      '2007-01-15 2007-01-30 2007-02-15 2007-03-15 2007-03-30',
    );
    expect(together(['2007-01-15', '2007-01-30'], 1, '2007-01-15', 6, 'America/New_York').join(' ')).toBe(
      '2007-01-15 2007-01-30 2007-02-15 2007-02-28 2007-03-15 2007-03-30',
    );
  });

  // The German workplace rule ASR A1.7 section 10 (read in pages that quote it): recurring test, should be at
  // least once a year; shorter after harsh or intensive use. Confirm against local rules.
  it('a yearly safety inspection is due a year after the last, and overdue the day after', () => {
    const task: TaskRule = { ...rule, intervalMonths: 24, safety: true };
    const basis: TaskBasis = { kind: 'completion', on: '2025-06-10', lifetimeCycles: 0 };
    const item = due(task, basis, 'Europe/Berlin', '2026-06-10', 12);
    expect(item).toMatchObject({ due: '2026-06-10', latest: '2026-06-10', overdue: false });
    expect(item.why).toMatchObject({ rule: 'calendar', interval: 12, tightenedByRegime: true });
    expect(due(task, basis, 'Europe/Berlin', '2026-06-11', 12).overdue).toBe(true);
  });

  // The French order of 21 December 1993 on doors and gates (read: maintenance visit at least every six months;
  // the number of the article from memory). Confirm against local rules.
  it('a regime of six months tightens a longer interval and leaves a shorter one', () => {
    const basis: TaskBasis = { kind: 'completion', on: '2025-08-31', lifetimeCycles: 0 };
    const yearly: TaskRule = { ...rule, safety: true };
    expect(due(yearly, basis, 'Europe/Paris', '2025-09-01', 6).due).toBe('2026-02-28');
    const quarterly: TaskRule = { ...rule, intervalMonths: 3, safety: true };
    const item = due(quarterly, basis, 'Europe/Paris', '2025-09-01', 6);
    expect(item.due).toBe('2025-11-30');
    expect(item.why.tightenedByRegime).toBe(false);
  });
});
