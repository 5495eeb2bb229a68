import { civilDateAt, formatCivilDate, nextDue, parseCivilDate } from '@lintel/engine';
import type { CivilDate, DueContext, DueItem, DutyModel, TaskBasis, TaskRule } from '@lintel/engine';
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';

const DAY_MS = 86_400_000;

function daysAfter(date: CivilDate, days: number): CivilDate {
  return new Date(Date.parse(date) + days * DAY_MS).toISOString().slice(0, 10);
}

function dutyOf(level: number, lifetimeCycles: number, asOf: CivilDate): DutyModel {
  return {
    asOf: Date.parse(asOf),
    lifetimeCycles,
    cyclesPerDay: { p10: 0.8 * level, p50: level, p90: 1.2 * level },
    level,
    levelVariance: (0.15 * level) ** 2,
    driftVariancePerDay: 0.01,
    dispersion: 4,
    readings: 12,
    lastReadingAt: Date.parse(asOf) - DAY_MS,
    changedAt: null,
    weekday: null,
    seasonal: null,
  };
}

const date = fc.integer({ min: 0, max: 9000 }).map((days) => daysAfter('2010-01-01', days));
const months = fc.integer({ min: 1, max: 60 });
const task = fc.record<TaskRule>({
  intervalCycles: fc.option(fc.integer({ min: 1000, max: 500_000 })),
  intervalMonths: fc.option(months),
  anchor: fc.constantFrom('completion', 'fixed'),
  fixedFrom: date,
  safety: fc.boolean(),
  earlyDays: fc.integer({ min: 0, max: 60 }),
  graceDays: fc.integer({ min: 0, max: 30 }),
});
const basis = fc.record<TaskBasis>({
  kind: fc.constantFrom('completion', 'in-service'),
  on: date,
  lifetimeCycles: fc.integer({ min: 0, max: 1_000_000 }),
});
const context = fc.record<DueContext>({
  timeZone: fc.constantFrom('Europe/Berlin', 'America/Santiago', 'Asia/Kolkata', 'Pacific/Kiritimati', 'America/Adak'),
  today: date,
  regimeMonths: fc.option(months),
  duty: fc.option(
    fc.tuple(fc.integer({ min: 0, max: 2000 }), fc.integer({ min: 0, max: 2_000_000 }), date).map((t) => dutyOf(...t)),
  ),
});

function item(rule: TaskRule, from: TaskBasis, at: DueContext): DueItem {
  const answer = nextDue(rule, from, at);
  if ('none' in answer) throw new Error(`no date: ${answer.none}`);
  return answer;
}

/** A plain month addition, to compare with: the same day, else the last day of the month. */
function plainMonthsAfter(from: CivilDate, count: number): CivilDate {
  const [year, month, day] = from.split('-').map(Number) as [number, number, number];
  const last = new Date(Date.UTC(year, month + count, 0)).getUTCDate();
  return new Date(Date.UTC(year, month - 1 + count, Math.min(day, last))).toISOString().slice(0, 10);
}

const yearly: TaskRule = {
  intervalCycles: null,
  intervalMonths: 12,
  anchor: 'completion',
  fixedFrom: null,
  safety: false,
  earlyDays: 0,
  graceDays: 0,
};
const done: TaskBasis = { kind: 'completion', on: '2026-01-10', lifetimeCycles: 50_000 };
const inBerlin: DueContext = { timeZone: 'Europe/Berlin', today: '2026-06-01', regimeMonths: null, duty: null };

describe('properties of due dates', () => {
  it('a due item is in order, dated, and overdue just from the day after its latest date', () => {
    fc.assert(
      fc.property(task, basis, context, (rule, from, at) => {
        const answer = nextDue(rule, from, at);
        if ('none' in answer) {
          // Only a task whose every rule is out of reach goes without a date, and never a safety task with
          // months.
          expect(rule.intervalMonths).toBeNull();
          if (rule.safety) expect(at.regimeMonths).toBeNull();
          return;
        }
        for (const day of [answer.earliest, answer.due, answer.latest])
          expect(formatCivilDate(parseCivilDate(day, 'day'))).toBe(day);
        expect(answer.earliest).toBe(daysAfter(answer.due, -rule.earlyDays));
        expect(answer.latest).toBe(daysAfter(answer.due, rule.graceDays));
        expect(answer.due >= from.on).toBe(true);
        expect(answer.overdue).toBe(at.today > answer.latest);
        expect(item(rule, from, { ...at, today: answer.latest }).overdue).toBe(false);
        expect(item(rule, from, { ...at, today: daysAfter(answer.latest, 1) }).overdue).toBe(true);
      }),
      { numRuns: 1500 },
    );
  });

  it('a safety inspection is never later than the shorter of its months and the regime’s, whatever is computed', () => {
    fc.assert(
      fc.property(task, basis, context, months, (rule, from, at, regimeMonths) => {
        const safe = { ...rule, safety: true };
        const answer = item(safe, from, { ...at, regimeMonths });
        const longest = Math.min(regimeMonths, rule.intervalMonths ?? Infinity);
        expect(answer.due <= plainMonthsAfter(from.on, longest)).toBe(true);
        // Cycles can only bring it forward.
        expect(answer.due <= item(safe, from, { ...at, regimeMonths, duty: null }).due).toBe(true);
      }),
      { numRuns: 1500 },
    );
  });

  it('tightening never loosens: a shorter regime, or fewer cycles, never makes a later date', () => {
    fc.assert(
      fc.property(
        task,
        basis,
        context,
        months,
        fc.integer({ min: 1, max: 999 }),
        (rule, from, at, regimeMonths, less) => {
          const loose = nextDue(rule, from, at);
          if ('none' in loose) return;
          if (at.regimeMonths === null || regimeMonths < at.regimeMonths) {
            expect(item(rule, from, { ...at, regimeMonths }).due <= loose.due).toBe(true);
          }
          if (rule.intervalCycles === null) return;
          expect(item({ ...rule, intervalCycles: rule.intervalCycles - less }, from, at).due <= loose.due).toBe(true);
        },
      ),
      { numRuns: 1500 },
    );
  });

  it('rises with the months from a completion, and a safety date is never later than the usual one', () => {
    fc.assert(
      fc.property(task, basis, context, months, months, (rule, from, at, a, b) => {
        const byCompletion = { ...rule, anchor: 'completion' as const };
        const shorter = item({ ...byCompletion, intervalMonths: Math.min(a, b) }, from, at).due;
        const longer = item({ ...byCompletion, intervalMonths: Math.max(a, b) }, from, at).due;
        expect(shorter <= longer).toBe(true);
        const usual = item({ ...rule, intervalMonths: a, safety: false }, from, at).due;
        expect(item({ ...rule, intervalMonths: a, safety: true }, from, at).due <= usual).toBe(true);
      }),
      { numRuns: 1500 },
    );
  });

  it('fixed dates stay on their grid and never leave out two, nor one that was not done early', () => {
    fc.assert(
      fc.property(task, basis, months, (rule, from, every) => {
        const fixed = { ...rule, anchor: 'fixed' as const, intervalMonths: every, intervalCycles: null, safety: false };
        const answer = item(fixed, from, inBerlin);
        const grid: CivilDate[] = [];
        for (let k = 0; grid.length < 2 || grid.at(-2)! <= answer.due; k++)
          grid.push(plainMonthsAfter(rule.fixedFrom!, k * every));
        expect(grid).toContain(answer.due);
        const ahead = grid.filter((day) => day > from.on);
        const leftOut = ahead.indexOf(answer.due);
        expect(leftOut).toBeLessThanOrEqual(1);
        if (leftOut === 1) {
          expect(from.kind).toBe('completion');
          expect(daysAfter(from.on, rule.earlyDays) >= ahead[0]!).toBe(true);
        }
      }),
      { numRuns: 1500 },
    );
  });
});

describe('the calendar rule', () => {
  const fixed: TaskRule = { ...yearly, intervalMonths: 1, anchor: 'fixed', fixedFrom: '2026-01-01', earlyDays: 10 };

  it('on fixed dates takes a completion for the occurrence it was meant for', () => {
    const next = (on: CivilDate) => item(fixed, { ...done, on }, inBerlin).due;
    expect(next('2026-02-01')).toBe('2026-03-01');
    expect(next('2026-02-05')).toBe('2026-03-01'); // late for 1 February
    const twentyEarly = { ...fixed, earlyDays: 20 };
    expect(item(twentyEarly, { ...done, on: '2026-02-10' }, inBerlin).due).toBe('2026-03-01'); // nearer to 1 February: late
    expect(item(twentyEarly, { ...done, on: '2026-02-20' }, inBerlin).due).toBe('2026-04-01');
    expect(next('2026-02-19')).toBe('2026-04-01'); // ten days before 1 March: that one is done
    expect(next('2026-02-18')).toBe('2026-03-01'); // too early for it
    expect(next('2025-12-28')).toBe('2026-02-01'); // early for the very first
    expect(item(fixed, { ...done, kind: 'in-service', on: '2026-02-25' }, inBerlin).due).toBe('2026-03-01');
  });

  it('on fixed dates a safety inspection done early still counts its months from the day it was done', () => {
    const safe: TaskRule = { ...fixed, intervalMonths: 12, earlyDays: 20, safety: true };
    const answer = item(safe, { ...done, on: '2026-12-20' }, inBerlin);
    expect(answer.due).toBe('2027-12-20');
    expect(answer.why.tightenedByRegime).toBe(false);
    expect(item({ ...safe, safety: false }, { ...done, on: '2026-12-20' }, inBerlin).due).toBe('2028-01-01');
  });

  it('leaves a regime to safety inspections', () => {
    expect(item(yearly, done, { ...inBerlin, regimeMonths: 6 }).due).toBe('2027-01-10');
    expect(item({ ...yearly, safety: true }, done, { ...inBerlin, regimeMonths: 6 }).due).toBe('2026-07-10');
    const byCycles: TaskRule = { ...yearly, intervalMonths: null, intervalCycles: 1_000_000, safety: true };
    expect(item(byCycles, done, { ...inBerlin, regimeMonths: 6 })).toMatchObject({
      due: '2026-07-10',
      why: { rule: 'calendar', interval: 6, tightenedByRegime: true },
    });
  });

  it('leaves a date in the past where it is', () => {
    const answer = item(yearly, { ...done, on: '2019-03-31' }, inBerlin);
    expect(answer).toMatchObject({ due: '2020-03-31', overdue: true });
  });
});

describe('the cycle rule', () => {
  const byCycles: TaskRule = { ...yearly, intervalMonths: null, intervalCycles: 30_000 };
  const asOf: CivilDate = '2026-06-01';

  it('takes the even-odds date, and for safety the early one; says from which reading', () => {
    const duty = dutyOf(100, 65_000, asOf); // 15,000 to go at 100 a day
    const usual = item(byCycles, done, { ...inBerlin, duty });
    expect(Math.abs(Date.parse(usual.due) - Date.parse('2026-10-29'))).toBeLessThanOrEqual(2 * DAY_MS);
    expect(usual.why).toMatchObject({ rule: 'cycles', interval: 30_000, cyclesToGo: 15_000, quantile: 0.5 });
    expect(usual.why.lastReadingAt).toBe(duty.lastReadingAt);
    const safe = item({ ...byCycles, safety: true }, done, { ...inBerlin, duty });
    expect(safe.why.quantile).toBe(0.1);
    expect(safe.due < usual.due).toBe(true);
  });

  it('gives the earlier of the two rules and the other beside it', () => {
    const both: TaskRule = { ...byCycles, intervalMonths: 6 };
    const slow = item(both, done, { ...inBerlin, duty: dutyOf(20, 52_000, asOf) });
    expect(slow).toMatchObject({ due: '2026-07-10', why: { rule: 'calendar', interval: 6 } });
    expect(slow.why.otherRuleDue! > slow.due).toBe(true);
    const quick = item(both, done, { ...inBerlin, duty: dutyOf(2000, 60_000, asOf) });
    expect(quick).toMatchObject({ why: { rule: 'cycles', otherRuleDue: '2026-07-10' } });
    expect(quick.due < '2026-07-10').toBe(true);
  });

  it('once reached, stays at the day on which it was, so that it becomes overdue', () => {
    // 142 days since the basis, 60,000 cycles: the 30,000th fell half way, on 22 March.
    const at = { ...inBerlin, duty: dutyOf(400, 110_000, asOf) };
    expect(item(byCycles, done, at)).toMatchObject({ due: '2026-03-22', overdue: true, why: { cyclesToGo: -30_000 } });
    const later = { ...inBerlin, duty: dutyOf(400, 110_000 + 400 * 30, '2026-07-01') };
    expect(item(byCycles, done, later).due < '2026-03-25').toBe(true);
  });

  it('gives a reason where there is no date', () => {
    expect(nextDue(byCycles, done, inBerlin)).toEqual({ none: 'no-duty' });
    expect(nextDue(byCycles, done, { ...inBerlin, duty: dutyOf(0, 50_000, asOf) })).toEqual({
      none: 'not-within-a-century',
    });
    expect(nextDue({ ...yearly, intervalMonths: null }, done, inBerlin)).toEqual({ none: 'no-interval' });
    expect(nextDue({ ...yearly, anchor: 'fixed' }, done, inBerlin)).toEqual({ none: 'no-fixed-date' });
  });

  it('names the field that is wrong', () => {
    expect(() => nextDue({ ...yearly, intervalMonths: 0 }, done, inBerlin)).toThrow(/intervalMonths/);
    expect(() => nextDue({ ...yearly, earlyDays: 1.5 }, done, inBerlin)).toThrow(/earlyDays/);
    expect(() => nextDue({ ...yearly, intervalMonths: 120_000 }, done, inBerlin)).toThrow(/intervalMonths/);
    expect(() => nextDue({ ...yearly, graceDays: -1 }, done, inBerlin)).toThrow(/graceDays/);
    expect(() => nextDue(yearly, done, { ...inBerlin, regimeMonths: -1 })).toThrow(/regimeMonths/);
    expect(() => nextDue(yearly, { ...done, on: '2026-02-30' }, inBerlin)).toThrow(/on must be a date/);
    expect(() => nextDue({ ...yearly, anchor: 'fixed', fixedFrom: '2026-2-3' }, done, inBerlin)).toThrow(/fixedFrom/);
    expect(() => civilDateAt(0, 'Mars/Olympus')).toThrow(/timeZone/);
    expect(() => civilDateAt(NaN, 'UTC')).toThrow(/instantMs/);
  });
});

describe('the date at a place', () => {
  it('follows the zone’s clocks, over their changes too', () => {
    // Clocks in Berlin went from UTC+1 to UTC+2 on 29 March 2026, those in Santiago back to UTC−4 on 4 April at
    // midnight.
    expect(civilDateAt(Date.parse('2026-03-28T22:59:59Z'), 'Europe/Berlin')).toBe('2026-03-28');
    expect(civilDateAt(Date.parse('2026-03-28T23:00:00Z'), 'Europe/Berlin')).toBe('2026-03-29');
    expect(civilDateAt(Date.parse('2026-03-29T21:59:59Z'), 'Europe/Berlin')).toBe('2026-03-29');
    expect(civilDateAt(Date.parse('2026-03-29T22:00:00Z'), 'Europe/Berlin')).toBe('2026-03-30');
    expect(civilDateAt(Date.parse('2026-04-05T03:30:00Z'), 'America/Santiago')).toBe('2026-04-04');
    expect(civilDateAt(Date.parse('2026-04-05T04:00:00Z'), 'America/Santiago')).toBe('2026-04-05');
    expect(civilDateAt(Date.parse('2026-12-31T10:00:00Z'), 'Pacific/Kiritimati')).toBe('2027-01-01');
  });
});
