import { forceLimitTable, readForceFile } from '@lintel/contract';
import {
  calibrationGoodThrough, calibrationState, changeForceLimit, competenceOn, defaultForceLimits, forceFigures, judgeForce, judgeForceTest,
  judgePoint, loosenedLimit, measuringPoints, missingPoints,
  safetyDevicesOf, typedReading,
} from '@lintel/engine';
import type { CompetenceRecord, CurveReading, ForceFigures, ForceLimitId, ForceLimitTable, ForcePlace, ForceSample, ForceVerdict } from '@lintel/engine';
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';

const table = defaultForceLimits;
const place: ForcePlace = { gapMm: 300, movement: 'vertical', position: 'closing-edge' };

function reading(curve: readonly ForceSample[], limits: ForceLimitTable = table): CurveReading {
  const answer = forceFigures(curve, limits);
  if ('refused' in answer) throw new Error(answer.refused);
  return answer;
}

function judged(curve: readonly ForceSample[], limits: ForceLimitTable = table): ForceVerdict {
  const answer = judgeForce(reading(curve, limits), place, limits);
  if ('refused' in answer) throw new Error(answer.refused);
  return answer;
}

function changed(from: ForceLimitTable, change: Omit<Parameters<typeof changeForceLimit>[1], 'by' | 'on'>): ForceLimitTable {
  const answer = changeForceLimit(from, { by: 'somebody', on: '2026-06-01', ...change });
  if ('refused' in answer) throw new Error(answer.refused);
  return answer;
}

/** A hit, a decay to a plateau, a release: as continuous functions of the time in ms. */
const shape = fc.record({
  startMs: fc.double({ min: 0, max: 400, noNaN: true }),
  riseMs: fc.double({ min: 15, max: 120, noNaN: true }),
  peak: fc.double({ min: 20, max: 900, noNaN: true }),
  decayMs: fc.double({ min: 40, max: 700, noNaN: true }),
  plateau: fc.double({ min: 0, max: 220, noNaN: true }),
  releaseMs: fc.double({ min: 300, max: 5600, noNaN: true }),
});
type Shape = typeof shape extends fc.Arbitrary<infer T> ? T : never;

function forceOf({ startMs, riseMs, peak, decayMs, plateau, releaseMs }: Shape): (ms: number) => number {
  return (ms) => {
    const since = ms - startMs;
    if (since <= 0) return 0;
    if (since < riseMs) return (peak * since) / riseMs;
    const held = plateau + (peak - plateau) * Math.exp(-(since - riseMs) / decayMs);
    // Released over 60 ms, as no real door lets go at once.
    return held * Math.max(0, Math.min(1, 1 - (since - releaseMs) / 60));
  };
}

function sampled(force: (ms: number) => number, hertz: number, endMs = 7000): ForceSample[] {
  const count = Math.round((endMs * hertz) / 1000);
  return Array.from({ length: count + 1 }, (_, index) => ({ ms: (index * 1000) / hertz, newton: force((index * 1000) / hertz) }));
}

const figureNames = ['peakNewton', 'dynamicMs', 'staticNewton', 'residualNewton'] as const;

describe('figures of a curve', () => {
  it('do not depend on when the clock started', () => {
    fc.assert(
      fc.property(shape, fc.integer({ min: -1_000_000, max: 1_000_000 }), (form, shiftMs) => {
        const curve = sampled(forceOf(form), 250);
        const moved = reading(curve.map(({ ms, newton }) => ({ ms: ms + shiftMs, newton })));
        const still = reading(curve);
        for (const figure of figureNames) expect(moved.figures[figure]).toBeCloseTo(still.figures[figure], 5);
        expect(moved.shortfalls.map(({ code }) => code)).toEqual(still.shortfalls.map(({ code }) => code));
        if (still.marks) expect(moved.marks!.contactAtMs - shiftMs).toBeCloseTo(still.marks.contactAtMs, 5);
      }),
      { numRuns: 150 },
    );
  });

  it('do not depend on the gauge’s rate, within what one step can hide', () => {
    fc.assert(
      fc.property(shape, fc.constantFrom(200, 250, 400, 640), (form, hertz) => {
        const force = forceOf(form);
        const fine = reading(sampled(force, 4000)).figures;
        const coarse = reading(sampled(force, hertz)).figures;
        // Steepest change in one step of the coarse gauge.
        const stepMs = 1000 / hertz;
        const steepest = Math.max(form.peak / form.riseMs, Math.abs(form.peak - form.plateau) / form.decayMs, Math.max(form.peak, form.plateau) / 60 + Math.abs(form.peak - form.plateau) / form.decayMs);
        const slack = steepest * stepMs + 1e-6;
        expect(Math.abs(coarse.peakNewton - fine.peakNewton)).toBeLessThanOrEqual(slack);
        // A crossing at a grazing angle is ill defined: compare durations only where the curve crosses 150 N clearly.
        if (Math.abs(form.peak - 150) > 2 * slack && form.plateau < 130 && form.releaseMs > form.riseMs + 200) {
          const flattest = Math.min((150 - form.plateau) / form.decayMs, form.peak / form.riseMs);
          expect(Math.abs(coarse.dynamicMs - fine.dynamicMs)).toBeLessThanOrEqual(2 * stepMs + slack / flattest);
        }
        if (form.plateau < 140 && form.peak > 160 + 2 * slack) {
          expect(Math.abs(coarse.staticNewton - fine.staticNewton)).toBeLessThanOrEqual(2 * slack);
        }
      }),
      { numRuns: 120 },
    );
  });

  it('agree with plain counting of fine samples', () => {
    fc.assert(
      fc.property(shape, (form) => {
        const curve = sampled(forceOf(form), 1000);
        const { figures, marks } = reading(curve);
        expect(figures.peakNewton).toBe(Math.max(...curve.map(({ newton }) => newton)));
        const above = curve.filter(({ newton }) => newton > 150);
        const span = above.length === 0 ? 0 : above.at(-1)!.ms - above[0]!.ms;
        expect(figures.dynamicMs - span).toBeGreaterThanOrEqual(0);
        expect(figures.dynamicMs - span).toBeLessThanOrEqual(2);
        if (!marks) return;
        const contact = curve.find(({ newton }) => newton > 25)!.ms;
        const staticFrom = (above[0]?.ms ?? contact) + 750;
        const greatest = (from: number, to: number) =>
          Math.max(0, ...curve.filter(({ ms }) => ms >= from && ms <= to).map(({ newton }) => newton));
        expect(figures.staticNewton).toBeGreaterThanOrEqual(greatest(staticFrom, contact + 4999) - 1e-9);
        expect(figures.staticNewton).toBeLessThanOrEqual(greatest(staticFrom - 2, contact + 5001) + 1e-9);
        expect(figures.residualNewton).toBeGreaterThanOrEqual(greatest(contact + 5000, 7000) - 1e-9);
        expect(figures.residualNewton).toBeLessThanOrEqual(greatest(contact + 4998, 7000) + 1e-9);
      }),
      { numRuns: 200 },
    );
  });

  it('a bounce does not stop the clock of the dynamic period', () => {
    const bumps = (ms: number) => (ms < 300 || (ms > 600 && ms < 900) ? 200 : 10);
    const { figures } = reading(sampled(bumps, 1000));
    expect(figures.dynamicMs).toBeGreaterThan(899);
    expect(judged(sampled(bumps, 1000)).reasons.map(({ code }) => code)).toEqual(['dynamic-too-long', 'static-too-high']);
  });

  it('static is what comes before 5 s after the contact, residual what comes after', () => {
    const late = sampled((ms) => (ms < 100 ? 0 : ms < 5600 ? 100 : 140), 1000);
    expect(reading(late).figures).toEqual({ peakNewton: 140, dynamicMs: 0, staticNewton: 100, residualNewton: 140 });
  });

  it('a curve that is none is refused, with the sample', () => {
    expect(forceFigures([{ ms: 0, newton: 0 }], table)).toMatchObject({ refused: 'no-samples' });
    for (const bad of [NaN, Infinity]) {
      expect(forceFigures([{ ms: 0, newton: 0 }, { ms: 5, newton: bad }], table)).toEqual({ refused: 'not-a-number', facts: { sample: 1 } });
      expect(forceFigures([{ ms: bad, newton: 0 }, { ms: 5, newton: 1 }], table)).toEqual({ refused: 'not-a-number', facts: { sample: 0 } });
    }
    const still = [{ ms: 0, newton: 0 }, { ms: 5, newton: 0 }, { ms: 5, newton: 1 }];
    expect(forceFigures(still, table)).toMatchObject({ refused: 'time-not-rising', facts: { sample: 2 } });
  });
});

describe('what is no evidence is not passed', () => {
  const good = sampled((ms) => (ms < 100 ? 0 : ms < 400 ? 300 : ms < 2000 ? 100 : 0), 1000);
  const codes = (curve: readonly ForceSample[]) => judged(curve).reasons.map(({ code }) => code);

  it('the curve to compare with passes', () => {
    expect(judged(good)).toMatchObject({ passed: true, reasons: [] });
  });

  it.each([
    ['nothing touched', good.map(({ ms }) => ({ ms, newton: 20 })), ['no-contact']],
    ['ends before the static phase', good.filter(({ ms }) => ms < 800), ['static-phase-not-seen', 'record-too-short']],
    ['ends with the force still on', good.filter(({ ms }) => ms < 1500), ['record-too-short']],
    ['sampled at 100 Hz', good.filter((_, index) => index % 10 === 0), ['sampling-too-slow']],
    ['samples lost', good.filter(({ ms }) => ms < 150 || ms > 200), ['samples-missing']],
  ])('%s', (_, curve, expected) => {
    const answer = codes(curve);
    expect(answer.filter((code) => expected.includes(code))).toEqual(expected);
  });

  it('a record that ends after the force is gone is enough', () => {
    expect(codes(good.filter(({ ms }) => ms < 2300))).toEqual([]);
  });

  it('a mistaken unit never passes: seconds for milliseconds, kilonewton for newton', () => {
    fc.assert(
      fc.property(shape, (form) => {
        const curve = sampled(forceOf(form), 250);
        expect(judged(curve.map(({ ms, newton }) => ({ ms: ms / 1000, newton }))).passed).toBe(false);
        expect(judged(curve.map(({ ms, newton }) => ({ ms, newton: newton / 1000 }))).passed).toBe(false);
      }),
      { numRuns: 100 },
    );
  });
});

describe('verdicts', () => {
  const overLimit = (verdict: ForceVerdict) => verdict.reasons.filter(({ code }) => code.includes('too-'));

  it('more force never turns a curve over a limit into a passed one', () => {
    fc.assert(
      fc.property(shape, shape, (form, more) => {
        const [base, extra] = [forceOf(form), forceOf(more)];
        const verdict = judged(sampled(base, 250));
        if (overLimit(verdict).length === 0) return;
        expect(judged(sampled((ms) => base(ms) + extra(ms), 250)).passed).toBe(false);
      }),
      { numRuns: 200 },
    );
  });

  const figures = fc.record<ForceFigures>({
    peakNewton: fc.double({ min: 150, max: 600, noNaN: true }),
    dynamicMs: fc.double({ min: 0, max: 1000, noNaN: true }),
    staticNewton: fc.double({ min: 0, max: 150, noNaN: true }),
    residualNewton: fc.double({ min: 0, max: 50, noNaN: true }),
  });

  it('a point is judged by its mean, in whatever order the readings came', () => {
    fc.assert(
      fc.property(fc.array(figures, { minLength: 3, maxLength: 6 }), (all) => {
        const readings = all.map(typedReading);
        const forth = judgePoint(readings, place, table);
        const back = judgePoint(readings.toReversed(), place, table);
        if ('refused' in forth || 'refused' in back) throw new Error('refused');
        expect(back.passed).toBe(forth.passed);
        for (const figure of figureNames) {
          const mean = all.reduce((sum, one) => sum + one[figure] / all.length, 0);
          expect(forth.figures[figure]).toBeCloseTo(mean, 6);
          expect(back.figures[figure]).toBeCloseTo(mean, 6);
        }
      }),
    );
  });

  it('what no gauge can show is refused, naming the figure', () => {
    const good = { peakNewton: 200, dynamicMs: 100, staticNewton: 80, residualNewton: 5 };
    for (const bad of [-1, NaN, Infinity]) {
      expect(judgeForce(typedReading({ ...good, staticNewton: bad }), place, table)).toMatchObject({
        refused: 'not-a-figure', facts: { figure: 'staticNewton' },
      });
    }
    expect(judgeForce(typedReading({ ...good, residualNewton: 201 }), place, table)).toMatchObject({
      refused: 'greater-than-peak', facts: { figure: 'residualNewton' },
    });
    expect(judgePoint([typedReading(good), typedReading({ ...good, peakNewton: NaN })], place, table)).toMatchObject({
      refused: 'not-a-figure', facts: { figure: 'peakNewton' },
    });
  });

  it('a shortfall of one reading is one of its point, with its number', () => {
    const short = reading(sampled((ms) => (ms < 100 ? 0 : 100), 1000, 600));
    const fine = typedReading({ peakNewton: 100, dynamicMs: 0, staticNewton: 90, residualNewton: 0 });
    const verdict = judgePoint([fine, short, fine], place, table) as ForceVerdict;
    expect(verdict.passed).toBe(false);
    expect(verdict.reasons.map(({ code, facts }) => [code, facts['reading']])).toContainEqual(['static-phase-not-seen', 2]);
  });
});

describe('a whole force test', () => {
  it('misses as many readings as are not there, wherever they lack', () => {
    const opening = fc.record({ widthMm: fc.integer({ min: 400, max: 9000 }), heightMm: fc.integer({ min: 350, max: 9000 }) });
    fc.assert(
      fc.property(opening, fc.infiniteStream(fc.integer({ min: 0, max: 4 })), (size, counts) => {
        const points = measuringPoints(size, table);
        if ('refused' in points) throw new Error(points.refused);
        const taken = points.map(() => counts.next().value!);
        const good = { peakNewton: 300, dynamicMs: 200, staticNewton: 100, residualNewton: 5 };
        const readings = points.flatMap(({ heightMm, across }, index) =>
          Array.from({ length: taken[index]! }, () => ({ heightMm, across, ...typedReading(good) })),
        );
        const lacking = taken.map((count) => Math.max(0, 3 - count));
        const missing = missingPoints(size, readings, table);
        if ('refused' in missing) throw new Error(missing.refused);
        expect(missing.map((point) => point.missing)).toEqual(lacking.filter((count) => count > 0));
        const verdict = judgeForceTest(size, readings, table);
        if ('refused' in verdict) throw new Error(verdict.refused);
        expect(verdict.passed).toBe(missing.length === 0);
        expect(verdict.failed).toBe(false);
        // No point lies outside the opening, or higher than 300 mm below fully open.
        for (const { heightMm, fromLeftMm } of points) {
          expect(heightMm).toBeLessThanOrEqual(size.heightMm - 300);
          expect(fromLeftMm).toBeGreaterThanOrEqual(200);
          expect(fromLeftMm).toBeLessThanOrEqual(size.widthMm - 200);
        }
      }),
    );
  });

  it('refuses a reading where no point is, and an opening that leaves none', () => {
    const figures = { peakNewton: 300, dynamicMs: 200, staticNewton: 100, residualNewton: 5 };
    const stray = { heightMm: 500, across: 'left' as const, ...typedReading(figures) };
    expect(judgeForceTest({ widthMm: 3000, heightMm: 3000 }, [stray], table)).toMatchObject({ refused: 'not-a-point' });
    for (const opening of [{ widthMm: 399, heightMm: 3000 }, { widthMm: 3000, heightMm: 349 }, { widthMm: NaN, heightMm: 3000 }]) {
      expect(judgeForceTest(opening, [], table)).toMatchObject({ refused: 'opening-too-small' });
    }
  });
});

describe('the table of limits', () => {
  const ids = Object.keys(table.rows) as ForceLimitId[];
  const change = fc.record({ row: fc.constantFrom(...ids), value: fc.integer({ min: 1, max: 6000 }), reason: fc.constantFrom('', '  ', 'because of the maker') });

  it('is never loosened silently, whatever is changed in whatever order', () => {
    fc.assert(
      fc.property(fc.array(change, { maxLength: 12 }), (changes) => {
        let now = table;
        for (const one of changes) {
          const before = now.rows[one.row];
          const answer = changeForceLimit(now, { ...one, by: 'somebody', on: '2026-06-01' });
          const tighter = before.bound === 'most' ? one.value < before.value : before.bound === 'least' && one.value > before.value;
          if (one.value === before.value) expect(answer).toMatchObject({ refused: 'unchanged' });
          else if (!tighter && one.reason.trim() === '') expect(answer).toMatchObject({ refused: 'looser-without-reason' });
          else {
            if ('refused' in answer) throw new Error(answer.refused);
            now = answer;
            expect(now.rows[one.row].value).toBe(one.value);
            expect(now.changes.at(-1)).toMatchObject({ row: one.row, from: before.value, to: one.value, loosened: !tighter });
          }
        }
        expect(now.version).toBe(now.changes.length + 1);
        expect(forceLimitTable.safeParse(now).error?.issues ?? []).toEqual([]);
      }),
    );
    expect(table.version).toBe(1);
  });

  it('shows a loosening until it is taken back whole', () => {
    expect(loosenedLimit(table, 'static')).toBeUndefined();
    const tight = changed(table, { row: 'static', value: 120 });
    expect(loosenedLimit(tight, 'static')).toBeUndefined();
    // Back to what it was is a loosening of the table, but not of the row.
    expect(loosenedLimit(changed(tight, { row: 'static', value: 150, reason: 'r' }), 'static')).toBeUndefined();
    const loose = changed(table, { row: 'static', value: 200, reason: 'why' });
    expect(loosenedLimit(loose, 'static')).toMatchObject({ first: 150, last: { from: 150, to: 200, reason: 'why' } });
    const partly = changed(loose, { row: 'static', value: 160 });
    expect(loosenedLimit(partly, 'static')).toMatchObject({ first: 150, last: { to: 200 } });
    expect(loosenedLimit(partly, 'dynamic')).toBeUndefined();
    expect(loosenedLimit(changed(partly, { row: 'static', value: 140 }), 'static')).toBeUndefined();
    const moved = changed(table, { row: 'gauge-disc', value: 60, reason: 'r' });
    expect(loosenedLimit(moved, 'gauge-disc')).toMatchObject({ first: 80 });
    expect(loosenedLimit(changed(moved, { row: 'gauge-disc', value: 80, reason: 'r' }), 'gauge-disc')).toBeUndefined();
  });

  it('refuses a row that is not there and a value that is none', () => {
    const set = (row: ForceLimitId, value: number) => changeForceLimit(table, { row, value, reason: 'r', by: 'b', on: '2026-06-01' });
    expect(set('toString' as ForceLimitId, 3)).toMatchObject({ refused: 'no-such-row' });
    for (const value of [0, -5, NaN, Infinity]) expect(set('static', value)).toMatchObject({ refused: 'not-a-value' });
    expect(set('readings', 3.5)).toMatchObject({ refused: 'not-a-value' });
  });

  it('as a message is checked: a value without its change, a looser one without a reason, a faked unit', () => {
    const fields = (value: unknown) => forceLimitTable.safeParse(value).error?.issues.map(({ path }) => path.join('.')) ?? [];
    const tighter = changed(table, { row: 'static', value: 120 });
    expect(fields(tighter)).toEqual([]);
    expect(fields({ ...tighter, changes: [] })).toEqual(['rows.static.value', 'version']);
    const looser = changed(table, { row: 'static', value: 160, reason: 'measured by the maker' });
    const silent = { ...looser, changes: [{ ...looser.changes[0]!, reason: '' }] };
    expect(fields(silent)).toEqual(['changes.0.reason']);
    const hidden = { ...looser, changes: [{ ...looser.changes[0]!, loosened: false }] };
    expect(fields(hidden)).toEqual(['changes.0.loosened']);
    const faked = { ...table, rows: { ...table.rows, dynamic: { ...table.rows.dynamic, unit: 'N' } } };
    expect(fields(faked)).toEqual(['rows.dynamic.unit']);
  });

  it('a tighter limit is used', () => {
    const curve = sampled((ms) => (ms < 100 ? 0 : ms < 400 ? 300 : ms < 2000 ? 100 : 0), 1000);
    expect(judged(curve).passed).toBe(true);
    for (const [row, value] of [['peak-vertical-near', 299], ['dynamic', 290], ['static', 99], ['gauge-sampling', 1100]] as const) {
      expect(judged(curve, changed(table, { row, value })).passed).toBe(false);
    }
  });
});

describe('force files', () => {
  it('reads columns in either order, others aside, with a byte order mark, quotes, blanks and Windows line ends', () => {
    const curve = [{ ms: 0, newton: -0.5 }, { ms: 5, newton: 120.25 }];
    expect(readForceFile('ms,newton\n0,-.5\n5,120.25\n')).toEqual({ curve });
    expect(readForceFile('\uFEFFNewton , remark,ms\r\n"-0.5",x, 0\r\n\r\n1.2025e2,"a,b",5')).toEqual({ curve });
  });

  it.each([
    ['', 1, /empty/],
    ['\n\n', 1, /empty/],
    ['0,1\n5,2\n', 1, /column 'ms'/],
    ['ms,force\n0,1\n', 1, /column 'newton'/],
    ['ms,ms,newton\n0,1,2\n', 1, /column 'ms'/],
    ['ms;newton\n0;1\n5;2\n', 1, /column 'ms'/],
    ['ms,newton\n', 1, /0 samples/],
    ['ms,newton\n0,1\n', 2, /1 samples/],
    ['ms,newton\n0,1\n5,abc\n', 3, /newton: must be a number, is 'abc'/],
    ['ms,newton\n0,1\n5,\n', 3, /newton: must be a number, is ''/],
    ['ms,newton\n0,1\n,5\n', 3, /ms: must be a number/],
    ['ms,newton\n0,1\n\n5,0x10\n', 4, /newton: must be a number, is '0x10'/],
    ['ms,newton\n0,1\n5,Infinity\n', 3, /newton/],
    ['ms,newton\n0,1\n5,1e999\n', 3, /newton/],
    ['ms,newton\n0,1\n5,NaN\n', 3, /newton/],
    ['ms,newton\n0,1\n5,1,5\n', 3, /has 3 cells, the header has 2/],
    ['ms,newton\n0,1\n5\n', 3, /has 1 cells/],
    ['ms,newton\n0,1\n5,2\n5,3\n', 4, /ms: must be later than 5/],
    ['ms,newton\n0,1\n"5,2\n10,3\n', 2, /not CSV/],
    ['"ms\u001b[2J\nx",newton\n0,1\n5,2\n', 2, /the header is 'ms\?\[2J\?x,newton'/],
    [`ms,newton\n0,${'9'.repeat(500)}x\n5,2\n`, 2, /is '9{60}…'$/],
  ])('%j: line %d', (content, line, message) => {
    const fault = readForceFile(content);
    if (!('message' in fault)) throw new Error('was read');
    expect(fault.message).toMatch(message);
    expect(fault.line).toBeGreaterThanOrEqual(line);
    expect(fault.line).toBeLessThanOrEqual(/not CSV/.test(fault.message) ? 4 : line);
    expect(fault.message).not.toContain('\n');
  });
});

it('every part kind that guards somebody is a safety device, and no other', () => {
  expect(safetyDevicesOf('push-buttons')).toEqual(['emergency-stop', 'activation']);
  expect(safetyDevicesOf('slack-switch-left')).toEqual(safetyDevicesOf('slack-switch-right'));
  expect(safetyDevicesOf('drive-chain')).toEqual([]);
  expect(safetyDevicesOf('constructor')).toEqual([]);
});

describe('calibration', () => {
  const state = (on: string) => calibrationState(calibrationGoodThrough({ calibratedOn: '2025-03-31', dueOn: '2026-03-31' }), on);

  it('is good through its last day, due soon from 60 days before it', () => {
    expect(calibrationState(undefined, '2026-01-01')).toBe('never');
    expect(['2026-01-29', '2026-01-30', '2026-03-31', '2026-04-01'].map(state)).toEqual(['in-date', 'due-soon', 'due-soon', 'out-of-date']);
  });

  it('ends by its certificate or by the interval, whichever is earlier; neither can extend the other', () => {
    const dates = fc.date({ min: new Date('2000-01-01T00:00:00Z'), max: new Date('2060-01-01T00:00:00Z'), noInvalidDate: true })
      .map((date) => date.toISOString().slice(0, 10));
    fc.assert(fc.property(dates, dates, fc.integer({ min: 1, max: 60 }), (calibratedOn, dueOn, months) => {
      const good = calibrationGoodThrough({ calibratedOn, dueOn }, months)!;
      expect(good <= dueOn).toBe(true);
      expect(good <= calibrationGoodThrough({ calibratedOn }, months)!).toBe(true);
      expect([dueOn, calibrationGoodThrough({ calibratedOn }, months)]).toContain(good);
    }));
    expect(calibrationGoodThrough({ calibratedOn: '2026-01-01' })).toBeUndefined();
    expect(() => calibrationGoodThrough({ calibratedOn: '2026-02-30' }, 12)).toThrow(/calibratedOn/);
  });
});

// The rule is this project's own.
describe('competence', () => {
  const record = { id: 'r', accountId: 'a', kind: 'safety-inspection', validFrom: '2025-01-01', validUntil: '2025-12-31' } as const;
  const asked = { accountId: 'a', kind: 'safety-inspection' } as const;
  const verdict = (records: CompetenceRecord[], on: string, who = 'a') => competenceOn(records, { ...asked, accountId: who, on });

  it('holds from its first day through its last, and no more from the day it is revoked', () => {
    const codes = (one: CompetenceRecord) =>
      ['2024-12-31', '2025-01-01', '2025-06-30', '2025-07-01', '2025-12-31', '2026-01-01'].map((on) => verdict([one], on).verdict);
    expect(codes(record)).toEqual(['not-yet', 'competent', 'competent', 'competent', 'competent', 'expired']);
    expect(codes({ ...record, revokedOn: '2025-07-01' })).toEqual(['not-yet', 'competent', 'competent', 'revoked', 'revoked', 'revoked']);
    const { validUntil: _, ...endless } = record;
    expect(verdict([endless], '2099-01-01')).toMatchObject({ verdict: 'competent', blocks: false });
  });

  it('blocks nobody while no record of the kind is kept, and everybody without one that holds from the first record on', () => {
    expect(verdict([], '2025-06-01')).toEqual({ verdict: 'not-kept', blocks: false });
    expect(verdict([{ ...record, kind: 'electrical' }], '2025-06-01')).toEqual({ verdict: 'not-kept', blocks: false });
    expect(verdict([record], '2025-06-01', 'b')).toEqual({ verdict: 'none', blocks: true });
    // A record that holds no more does not open the door to all again.
    expect(verdict([{ ...record, revokedOn: '2025-01-01' }], '2025-06-01', 'b').blocks).toBe(true);
    expect(verdict([record], '2026-06-01').blocks).toBe(true);
  });

  it('goes by the record that holds, in whatever order they come; else by the one that ended last', () => {
    const old = { ...record, id: 'old', validFrom: '2023-01-01', validUntil: '2023-12-31' };
    const renewed = { ...record, id: 'new', validFrom: '2026-01-01', validUntil: '2026-12-31' };
    for (const records of [[old, record, renewed], [renewed, record, old]]) {
      expect(verdict(records, '2025-06-01').record?.id).toBe('r');
      expect(verdict(records, '2027-01-01')).toMatchObject({ verdict: 'expired', record: { id: 'new' } });
    }
    expect(() => verdict([record], 'today')).toThrow(RangeError);
  });
});
