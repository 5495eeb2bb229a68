import {
  checkGauge,
  checksOf,
  defaultForceLimits,
  deviceChecks,
  forceFigures,
  forceLimitsAt,
  judgeDiagnostic,
  judgeForce,
  judgeForceTest,
  judgePoint,
  measuringPoints,
  missingPoints,
  typedReading,
} from '@lintel/engine';
import type {
  CurveReading,
  ForceFigures,
  ForceGauge,
  ForceLimitId,
  ForcePlace,
  ForceSample,
  ForceVerdict,
  PointReading,
  SafetyDevice,
  SourceStatus,
} from '@lintel/engine';
import { describe, expect, it } from 'vitest';

const table = defaultForceLimits;

function sampled(force: (ms: number) => number, endMs: number, hertz: number): ForceSample[] {
  const count = Math.round((endMs * hertz) / 1000);
  return Array.from({ length: count + 1 }, (_, index) => {
    const ms = (index * 1000) / hertz;
    return { ms, newton: force(ms) };
  });
}

function reading(curve: ForceSample[]): CurveReading {
  const answer = forceFigures(curve, table);
  if ('refused' in answer) throw new Error(answer.refused);
  return answer;
}

function verdict(figures: ForceFigures, place: Partial<ForcePlace> & { gapMm: number }): ForceVerdict {
  const answer = judgeForce(typedReading(figures), { movement: 'vertical', position: 'closing-edge', ...place }, table);
  if ('refused' in answer) throw new Error(answer.refused);
  return answer;
}

// None of these was read in the standard itself. Second hand: pages of installers and of makers of force gauges that quote
// EN 12453 annex A, EN 12453:2000 table A.1, EN 12445:2000 section 5 and EN 12453:2017 annex C.
const limits: [ForceLimitId, number, string, SourceStatus][] = [
  ['peak-vertical-near', 400, 'N', 'second-hand'],
  ['peak-vertical-far', 400, 'N', 'second-hand'], // often misquoted as 1400 N, which is the row of horizontally moving doors
  ['peak-horizontal-near', 400, 'N', 'second-hand'],
  ['peak-horizontal-far', 1400, 'N', 'second-hand'],
  ['peak-flat-areas', 1400, 'N', 'second-hand'],
  ['dynamic', 750, 'ms', 'second-hand'],
  ['static', 150, 'N', 'second-hand'],
  ['residual', 25, 'N', 'second-hand'],
  ['residual-after', 5000, 'ms', 'second-hand'],
  ['readings', 3, 'readings', 'second-hand'],
  ['point-height-low', 50, 'mm', 'second-hand'],
  ['point-height-middle', 300, 'mm', 'second-hand'],
  ['point-height-high', 2500, 'mm', 'second-hand'], // often misquoted as 500 mm, which is the set of sliding gates
  ['point-low-opening', 2800, 'mm', 'second-hand'],
  ['point-below-open', 300, 'mm', 'second-hand'],
  ['point-from-side', 200, 'mm', 'second-hand'],
  ['gauge-disc', 80, 'mm', 'second-hand'],
  ['gauge-spring', 500, 'N/mm', 'second-hand'],
  ['gauge-spring-tolerance', 50, 'N/mm', 'second-hand'],
  ['gauge-range-from', 25, 'N', 'second-hand'],
  ['gauge-range-to', 2000, 'N', 'second-hand'],
  ['gauge-sampling', 200, 'Hz', 'second-hand'],
  ['gauge-accuracy', 5, '%', 'second-hand'],
  ['gauge-calibration', 12, 'months', 'second-hand'],
];

describe('limits of EN 12453 with their source and status', () => {
  it.each(limits)('%s is %d %s, %s', (id, value, unit, status) => {
    expect(table.rows[id]).toMatchObject({ value, unit, status });
    expect(table.rows[id].source).toMatch(/EN 124(45|53)/);
  });

  it('has no row beside these', () => {
    expect(Object.keys(table.rows).sort()).toEqual(limits.map(([id]) => id).sort());
  });

  // EN 12453:2000 table A.1, second hand, as above.
  it.each([
    [50, 'vertical', 'closing-edge', 400],
    [500, 'vertical', 'closing-edge', 400],
    [501, 'vertical', 'closing-edge', 400],
    [2500, 'vertical', 'closing-edge', 400],
    [500, 'horizontal', 'closing-edge', 400],
    [501, 'horizontal', 'closing-edge', 1400],
    [300, 'vertical', 'flat-areas', 1400],
    [2500, 'horizontal', 'flat-areas', 1400],
  ] as const)('peak at a gap of %d mm, %s, %s: %d N', (gapMm, movement, position, peakNewton) => {
    expect(forceLimitsAt({ gapMm, movement, position }, table)).toMatchObject({
      peakNewton,
      dynamicMs: 750,
      staticNewton: 150,
      residualNewton: 25,
    });
  });

  it('has none between edges under 50 mm, nor for what is no distance', () => {
    const edge = { movement: 'vertical', position: 'closing-edge' } as const;
    expect(forceLimitsAt({ gapMm: 49, ...edge }, table)).toMatchObject({ refused: 'gap-below-range' });
    for (const gapMm of [NaN, Infinity, -1]) {
      expect(forceLimitsAt({ gapMm, ...edge }, table)).toMatchObject({ refused: 'not-a-gap' });
    }
  });
});

describe('verdicts at the limits', () => {
  const at: ForceFigures = { peakNewton: 400, dynamicMs: 750, staticNewton: 150, residualNewton: 25 };

  it('a value at its limit passes, a hair above it does not', () => {
    expect(verdict(at, { gapMm: 300 })).toMatchObject({ passed: true, reasons: [] });
    const codes = {
      peakNewton: 'peak-too-high',
      dynamicMs: 'dynamic-too-long',
      staticNewton: 'static-too-high',
      residualNewton: 'residual-too-high',
    } as const;
    for (const [figure, code] of Object.entries(codes)) {
      const over = verdict({ ...at, [figure]: at[figure as keyof ForceFigures] + 0.01 }, { gapMm: 300 });
      expect(over.passed).toBe(false);
      expect(over.reasons.map((reason) => reason.code)).toEqual([code]);
    }
  });

  it('1000 N at a gap of 600 mm: not for a vertically moving door; yes for a sliding one, and between flat areas', () => {
    const hard = { ...at, peakNewton: 1000 };
    expect(verdict(hard, { gapMm: 600 }).passed).toBe(false);
    expect(verdict(hard, { gapMm: 600, movement: 'horizontal' }).passed).toBe(true);
    expect(verdict(hard, { gapMm: 400, movement: 'horizontal' }).passed).toBe(false);
    expect(verdict(hard, { gapMm: 600, position: 'flat-areas' }).passed).toBe(true);
  });

  it('the mean of three readings counts, and two are not enough (EN 12453:2017 annex C, second hand)', () => {
    const place: ForcePlace = { gapMm: 300, movement: 'vertical', position: 'closing-edge' };
    const peaks = (...newton: number[]) => newton.map((peakNewton) => typedReading({ ...at, peakNewton }));
    expect(judgePoint(peaks(390, 395, 415), place, table)).toMatchObject({ passed: true, figures: { peakNewton: 400 } });
    expect(judgePoint(peaks(390, 395, 416), place, table)).toMatchObject({ passed: false });
    expect(judgePoint(peaks(390, 395), place, table)).toMatchObject({
      passed: false,
      reasons: [{ code: 'readings-missing', facts: { readings: 2, needed: 3 } }],
    });
    expect(judgePoint([], place, table)).toMatchObject({ refused: 'no-readings' });
  });
});

// Curves whose figures are known in closed form. Time above 150 N by the definition of T_d in EN 12453:2022 annex C (second
// hand: "time during which the measured force exceeds 150 N"); static from 0.75 s after it began.
describe.each([200, 333, 1000, 2000])('closed forms sampled at %d Hz', (hertz) => {
  /** Straight lines between samples differ from a curve by at most its curvature × step² / 8. */
  const stepMs = 1000 / hertz;

  it.each([
    [390, 900],
    [250, 400],
    [399, 1200],
    [600, 700],
  ])('half-sine of %d N and %d ms', (amplitude, lengthMs) => {
    const force = (ms: number) => (ms < lengthMs ? amplitude * Math.sin((Math.PI * ms) / lengthMs) : 0);
    const { figures, shortfalls } = reading(sampled(force, 6000, hertz));
    const riseMs = (lengthMs / Math.PI) * Math.asin(150 / amplitude);
    const curvature = amplitude * (Math.PI / lengthMs) ** 2;
    const newton = (curvature * stepMs ** 2) / 8 + 1e-9;
    const slope = (Math.PI / lengthMs) * Math.sqrt(amplitude ** 2 - 150 ** 2);
    expect(Math.abs(figures.peakNewton - amplitude)).toBeLessThanOrEqual(newton);
    expect(Math.abs(figures.dynamicMs - (lengthMs - 2 * riseMs))).toBeLessThanOrEqual((2.2 * newton) / slope);
    // Falling at the end: within the error of the rise times the slope there, and of the corner where the sine ends.
    const corner = (Math.PI / lengthMs) * amplitude * stepMs;
    const late = riseMs + 750 < lengthMs ? force(riseMs + 750) : 0;
    expect(Math.abs(figures.staticNewton - late)).toBeLessThanOrEqual(late > corner ? 4 * newton : corner);
    expect(figures.residualNewton).toBe(0);
    expect(shortfalls).toEqual([]);
  });

  it('trapezoid on a static plateau', () => {
    // Corners at multiples of 15 ms fall on samples at 200, 1000, 2000 Hz; elsewhere a corner is off by one step at most.
    const corners: [number, number][] = [[0, 0], [60, 0], [105, 360], [405, 360], [450, 120], [4500, 120], [4545, 0], [6000, 0]];
    const force = (ms: number) => {
      const next = Math.max(1, corners.findIndex(([at]) => at >= ms));
      const [[t0, f0], [t1, f1]] = [corners[next - 1]!, corners[next]!];
      return f0 + ((ms - t0) / (t1 - t0)) * (f1 - f0);
    };
    const { figures, shortfalls, marks } = reading(sampled(force, 6000, hertz));
    // Rise of 8 N/ms: 150 N at 60 + 18.75 ms; fall of 240 N in 45 ms: 150 N at 405 + 210 / (16/3) = 444.375 ms.
    const tolerance = hertz === 333 ? stepMs : 1e-6;
    expect(Math.abs(figures.dynamicMs - (444.375 - 78.75))).toBeLessThanOrEqual(tolerance);
    expect(figures.peakNewton).toBeCloseTo(360, 9);
    expect(figures.staticNewton).toBeCloseTo(120, 6);
    expect(figures.residualNewton).toBeCloseTo(0, 9);
    expect(Math.abs(marks!.contactAtMs - 63.125)).toBeLessThanOrEqual(tolerance); // 25 N at 8 N/ms
    expect(shortfalls).toEqual([]);
  });

  it.each([
    [380, 100, 120],
    [400, 40, 0],
    [320, 400, 60],
    [395, 900, 20],
  ])('exponential decay from %d N, %d ms, to %d N', (from, decayMs, plateau) => {
    // Contact at once, released after 4 s.
    const force = (ms: number) => (ms < 4000 ? plateau + (from - plateau) * Math.exp(-ms / decayMs) : 0);
    const { figures, shortfalls } = reading(sampled(force, 5500, hertz));
    const above = decayMs * Math.log((from - plateau) / (150 - plateau));
    const curvature = (from - plateau) / decayMs ** 2;
    const newton = (curvature * stepMs ** 2) / 8 + 1e-9;
    expect(figures.peakNewton).toBe(from);
    expect(Math.abs(figures.dynamicMs - above)).toBeLessThanOrEqual((1.2 * newton * decayMs) / (150 - plateau));
    expect(Math.abs(figures.staticNewton - force(750))).toBeLessThanOrEqual(newton);
    expect(figures.residualNewton).toBe(0);
    expect(shortfalls).toEqual([]);
  });

  it('a force that stays is residual 5 s after the contact', () => {
    const hold = (newton: number) => sampled((ms) => (ms < 500 ? 0 : newton), 7000, hertz);
    expect(reading(hold(120)).figures).toEqual({ peakNewton: 120, dynamicMs: 0, staticNewton: 120, residualNewton: 120 });
    expect(reading(hold(26)).figures.residualNewton).toBe(26);
    expect(reading(hold(180)).figures).toMatchObject({ staticNewton: 180, residualNewton: 180 });
    expect(Math.abs(reading(hold(180)).figures.dynamicMs - 6500)).toBeLessThanOrEqual(stepMs);
  });
});

// Heights and places: EN 12445:2000 section 5 / EN 12453:2017 annex C, read in a gauge manual and on an installer's page.
describe('measuring points of a vertically moving door', () => {
  it.each([
    [4000, [50, 300, 2500]],
    [2801, [50, 300, 2500]],
    [2800, [50, 300, 2500]], // 300 mm below fully open
    [2799, [50, 300, 2499]],
    [2700, [50, 300, 2400]],
    [2100, [50, 300, 1800]],
    [600, [50, 300]],
    [500, [50, 200]],
  ])('opening %d mm high: heights %j', (heightMm, heights) => {
    const points = measuringPoints({ widthMm: 3000, heightMm }, table);
    if ('refused' in points) throw new Error(points.refused);
    expect([...new Set(points.map((point) => point.heightMm))]).toEqual(heights);
    for (const height of heights) {
      const places = points.filter((point) => point.heightMm === height).map((point) => point.fromLeftMm);
      expect(places).toEqual([200, 1500, 2800]);
    }
  });

  it('asks for 27 readings, and says what is missing', () => {
    const opening = { widthMm: 3000, heightMm: 3500 };
    const all = missingPoints(opening, [], table);
    if ('refused' in all) throw new Error(all.refused);
    expect(all).toHaveLength(9);
    expect(all.reduce((sum, point) => sum + point.missing, 0)).toBe(27);
    const figures = { peakNewton: 300, dynamicMs: 200, staticNewton: 100, residualNewton: 5 };
    const readings: PointReading[] = all.flatMap(({ heightMm, across }) =>
      [1, 2, 3].map(() => ({ heightMm, across, ...typedReading(figures) })),
    );
    expect(judgeForceTest(opening, readings, table)).toMatchObject({
      passed: true, failed: false, missing: [], readingsNeeded: 27, readingsMissing: 0,
    });
    const short = readings.filter((_, index) => index !== 4);
    expect(judgeForceTest(opening, short, table)).toMatchObject({
      passed: false, failed: false, readingsMissing: 1, missing: [{ heightMm: 50, across: 'middle', readings: 2, missing: 1 }],
    });
    const hard = readings.map((one, index) => (index === 26 ? { ...one, figures: { ...figures, peakNewton: 1000 } } : one));
    expect(judgeForceTest(opening, hard, table)).toMatchObject({ passed: false, failed: true, readingsMissing: 0 });
  });
});

// BS EN 12453 / 12445:2001 section 5.1, read on a gauge maker's page.
describe('the gauge', () => {
  const gauge: ForceGauge = {
    samplingHertz: 200, accuracyPercent: 5, rangeFromNewton: 25, rangeToNewton: 2000, springNewtonPerMm: 500, discMm: 80,
    calibratedOn: '2026-01-15',
  };

  it.each([
    [{}, []],
    [{ samplingHertz: 199 }, ['sampling-too-slow']],
    [{ samplingHertz: NaN }, ['sampling-too-slow']],
    [{ accuracyPercent: 5.1 }, ['accuracy-too-coarse']],
    [{ rangeFromNewton: 26 }, ['range-starts-too-high']],
    [{ rangeToNewton: 1999 }, ['range-ends-too-low']],
    [{ springNewtonPerMm: 450 }, []],
    [{ springNewtonPerMm: 550 }, []],
    [{ springNewtonPerMm: 449 }, ['spring-differs']],
    [{ springNewtonPerMm: 551 }, ['spring-differs']],
    [{ discMm: 79 }, ['disc-differs']],
    [{ calibratedOn: '2026-06-02' }, ['calibration-in-future']],
  ])('%j: %j', (change, codes) => {
    expect(checkGauge({ ...gauge, ...change }, '2026-06-01', table).map(({ code }) => code)).toEqual(codes);
  });

  it('is calibrated for a year, by the calendar; a day that February lacks is its last', () => {
    const codes = (calibratedOn: string, usedOn: string) =>
      checkGauge({ ...gauge, calibratedOn }, usedOn, table).map(({ code }) => code);
    expect(codes('2025-06-01', '2026-06-01')).toEqual([]);
    expect(codes('2025-06-01', '2026-06-02')).toEqual(['calibration-expired']);
    expect(codes('2024-02-29', '2025-02-28')).toEqual([]);
    expect(codes('2024-02-29', '2025-03-01')).toEqual(['calibration-expired']);
    // The certificate may name an earlier end; a later one counts no more than the year.
    const dated = (calibrationDueOn: string, usedOn: string) =>
      checkGauge({ ...gauge, calibratedOn: '2025-06-01', calibrationDueOn }, usedOn, table).map(({ code }) => code);
    expect(dated('2025-12-01', '2025-12-01')).toEqual([]);
    expect(dated('2025-12-01', '2025-12-02')).toEqual(['calibration-expired']);
    expect(dated('2027-06-01', '2026-06-01')).toEqual([]);
    expect(dated('2027-06-01', '2026-06-02')).toEqual(['calibration-expired']);
    const { calibratedOn: _, ...unknown } = gauge;
    expect(checkGauge(unknown, '2026-06-01', table).map(({ code }) => code)).toEqual(['calibration-unknown']);
  });
});

describe('device checks', () => {
  const devices: SafetyDevice[] = [
    'light-beam', 'bottom-edge', 'slack-switch', 'emergency-stop', 'supply-isolator', 'activation', 'warning',
  ];

  it.each(devices)('%s has a function test with its criterion and source', (device) => {
    const checks = checksOf(device);
    expect(checks.filter(({ kind }) => kind === 'function').length).toBeGreaterThan(0);
    for (const { test, criterion, source } of checks) expect([test, criterion, source].every((text) => text.length > 5)).toBe(true);
  });

  it.each([
    ['slack-switch-drop', { upper: 300, unit: 'mm' }, /EN 12604:2017 section 4\.3\.4/, 'second-hand'], // read at second hand
    ['light-beam-off-time', { lower: 80, unit: 'ms' }, /IEC 61496-1/, 'from-memory'],
    ['light-beam-angle', { upper: 5, unit: '°' }, /IEC 61496-2/, 'second-hand'], // type 2; a sensor maker's page
    ['warning-level', { lower: 15, unit: 'dB' }, /ISO 7731/, 'from-memory'],
    ['bottom-edge-resistance', { lower: 7.38, upper: 9.02, unit: 'kΩ' }, /^common practice, no source$/, 'common-practice'],
    ['slack-switch-contact', { upper: 1, unit: 'Ω' }, /^common practice, no source$/, 'common-practice'],
  ])('diagnostic limit %s', (id, limit, source, status) => {
    const check = deviceChecks.find((one) => one.id === id)!;
    expect(check).toMatchObject({ kind: 'diagnostic', status, limit });
    expect(check.source).toMatch(source);
    const { lower, upper } = check.limit!;
    if (upper !== undefined) expect([upper, upper * 1.001].map((value) => judgeDiagnostic(check, value))).toEqual([{ within: true }, { within: false }]);
    if (lower !== undefined) expect([lower, lower * 0.999].map((value) => judgeDiagnostic(check, value))).toEqual([{ within: true }, { within: false }]);
  });

  // Function tests by who asks for them. Light beam and edge faults: UL 325 (since 29 August 2010 a monitored device, checked every
  // cycle; on a fault constant pressure only), read in parts. Isolation: 29 CFR 1910.147(d), read. Stop categories 0 and 1 of IEC
  // 60204-1, the test body of EN 12453 / EN 12445: from memory. Slack switch, activation, warning run: common practice, no source.
  it.each([
    ['light-beam-interrupt', /EN 12453/, 'from-memory', /700 × 300 × 200 mm[^]*stops and opens again[^]*does not close while/],
    ['light-beam-fault', /UL 325/, 'second-hand', /signal away[^]*does not close by itself[^]*constant pressure/],
    ['bottom-edge-reverse', /EN 12453 annex A/, 'second-hand', /test body[^]*stops and opens again/],
    ['bottom-edge-fault', /UL 325/, 'second-hand', /Interrupt[^]*short[^]*does not close by itself/],
    ['slack-switch-trip', /^common practice, no source$/, 'common-practice', /each side[^]*stops at once/],
    ['emergency-stop-press', /IEC 60204-1 \(stop category 0 or 1\)[^]*ISO 13850/, 'from-memory', /latched[^]*releasing it does not start/],
    ['supply-isolator-verify', /29 CFR 1910\.147\(d\)/, 'read', /lock[^]*try to start[^]*tester proved before and after[^]*nothing starts[^]*stored energy/],
    ['activation-commands', /^common practice, no source$/, 'common-practice', /field/],
    ['warning-run', /^common practice, no source$/, 'common-practice', /before and while/],
  ])('function test %s', (id, source, status, says) => {
    const check = deviceChecks.find((one) => one.id === id)!;
    expect(check).toMatchObject({ kind: 'function', status });
    expect(check.source).toMatch(source);
    expect(`${check.test} ${check.criterion}`).toMatch(says);
  });

  it('has no function test beside these nine', () => {
    expect(deviceChecks.filter(({ kind }) => kind === 'function')).toHaveLength(9);
  });

  it('no limit is unmarked: common practice says so, and every diagnostic limit is in the list above', () => {
    for (const { status, source } of deviceChecks) expect(status === 'common-practice').toBe(source === 'common practice, no source');
    expect(deviceChecks.filter(({ limit }) => limit)).toHaveLength(6);
    expect(new Set(deviceChecks.map(({ id }) => id)).size).toBe(deviceChecks.length);
  });
});
