import { describe, expect, it } from 'vitest';
import { fitted } from '../../apps/tablet/src/keep/images.js';
import { newId } from '../../apps/tablet/src/keep/newId.js';
import { dateAt, doorOfLabel, findByCode, readVisits } from '../../apps/tablet/src/keep/read.js';
import { figuresOf, forceAnswer, typedAt, withReading } from '../../apps/tablet/src/safety/forceDraft.js';
import { counterHint } from '../../apps/tablet/src/steps/CounterInput.js';
import { typedCount, typedNumber } from '../../apps/tablet/src/steps/types.js';
import { answerAgain } from '../../apps/tablet/src/work/ConflictPage.js';
import { checkStep, defaultForceLimits, judgeForceTest, measuringPoints, type PointReading } from '@lintel/engine';
import { aDoor, anOrder, aState, doorId, newDevice, received } from './world.js';

describe('ids made on the device', () => {
  it('are UUIDs of version 7 as in the example of RFC 9562, appendix A.6', () => {
    const random = new Uint8Array([0x0c, 0xc3, 0x18, 0xc4, 0xdc, 0x0c, 0x0c, 0x07, 0x39, 0x8f]);
    expect(newId(0x017f22e279b0, random)).toBe('017f22e2-79b0-7cc3-98c4-dc0c0c07398f');
  });

  it('differ, and sort by their time', () => {
    const ids = Array.from({ length: 1000 }, (_none, at) => newId(1_764_000_000_000 + at));
    expect(new Set(ids).size).toBe(1000);
    expect(ids.toSorted()).toEqual(ids);
    for (const id of ids) expect(id).toMatch(/^[0-9a-f]{8}-[0-9a-f]{4}-7[0-9a-f]{3}-[89ab][0-9a-f]{3}-[0-9a-f]{12}$/);
  });
});

describe('a photograph', () => {
  it('keeps its proportions within 1600 pixels and is never enlarged', () => {
    expect(fitted(8192, 6144)).toEqual({ width: 1600, height: 1200 });
    expect(fitted(3000, 9000)).toEqual({ width: 533, height: 1600 });
    expect(fitted(640, 480)).toEqual({ width: 640, height: 480 });
    expect(fitted(20_000, 3)).toEqual({ width: 1600, height: 1 });
  });
});

describe('what is typed', () => {
  it('is a number with a point or a comma, and nothing else', () => {
    expect(['12', '12,5', '12.5', ' -3 ', '1 200'].map(typedNumber)).toEqual([12, 12.5, 12.5, -3, 1200]);
    for (const text of ['', 'abc', '1e5', '0x10', '1.2.3', 'Infinity', '-']) expect(typedNumber(text)).toBeNaN();
    expect(['1,234,567', '1.234.567', '00120'].map(typedCount)).toEqual([1_234_567, 1_234_567, 120]);
    for (const text of ['', '-5', '12a', '9999999999999999']) expect(typedCount(text)).toBeNaN();
  });
});

describe('visits', () => {
  it('are by the day at the site, not of the device; what is begun or late is today’s', async () => {
    const device = await newDevice();
    const at = (last: string, change: object) => anOrder({ id: `019ad0a0-0000-7000-8000-0000000001${last}`, ...change });
    await received(device, aState({ orders: [
      at('01', { plannedOn: '2026-11-25', timeZone: 'Europe/Oslo' }),
      // In Oslo the 26th has begun; in Chicago it has not.
      at('02', { plannedOn: '2026-11-26', timeZone: 'Europe/Oslo' }),
      at('03', { plannedOn: '2026-11-26', timeZone: 'America/Chicago', siteId: doorId, siteName: 'Lake store' }),
      at('04', { plannedOn: '2026-11-28', state: 'started' }),
      at('05', { plannedOn: null }),
      at('06', { plannedOn: '2026-11-25', state: 'completed', passed: true }),
      at('07', { plannedOn: '2026-11-25', state: 'planned', steps: [] }),
    ] }));
    const now = Date.parse('2026-11-25T23:30:00Z');
    expect([dateAt('Europe/Oslo', now), dateAt('America/Chicago', now)]).toEqual(['2026-11-26', '2026-11-25']);
    const { today, days, undated, done } = await readVisits(device, now);
    const ids = (sites: { orders: { id: string }[] }[]) => sites.flatMap(({ orders }) => orders.map(({ id }) => id.slice(-2)));
    expect(ids(today)).toEqual(['01', '02', '04']);
    expect(days.map(({ date, sites }) => [date, ids(sites)])).toEqual([['2026-11-26', ['03']]]);
    expect([ids(undated), ids(done)]).toEqual([['05'], ['06']]);
    expect(today[0]?.address).toBe('Kaiveien 1');
  });
});

describe('a label', () => {
  it('leads to its door; a code to the door or part that bears it', async () => {
    expect(doorOfLabel(`https://lintel.example/tablet/door/${doorId}`)).toBe(doorId);
    expect(doorOfLabel('https://lintel.example/tablet/door/../../etc')).toBeNull();
    const device = await newDevice();
    const parts = [{ id: 'p', positionName: 'Drive chain', serial: 'CH-778' }] as unknown as ReturnType<typeof aDoor>['parts'];
    await received(device, aState({ doors: [aDoor({ parts })] }));
    expect((await findByCode(device, `http://x/tablet/door/${doorId}`)).doors).toHaveLength(1);
    expect((await findByCode(device, 'g-0004')).doors).toMatchObject([{ name: 'Gate 4' }]);
    expect(await findByCode(device, 'ch-778')).toMatchObject({ doors: [], parts: [{ name: 'Drive chain', doorId }] });
    expect(await findByCode(device, 'ch-12')).toMatchObject({ doors: [], parts: [], stock: [{ kind: 'drive-chain', name: 'Chain set' }] });
    expect(await findByCode(device, ' ')).toEqual({ doors: [], parts: [], stock: [] });
  });
});

describe('the hint at a counter', () => {
  const counter = { fittedAt: '2025-01-01T00:00:00.000Z', modulus: 1_000_000, lastValue: 40_000, lastReadingAt: '2026-11-15T08:00:00.000Z' } as Parameters<typeof counterHint>[1];
  const now = Date.parse('2026-11-25T08:00:00Z');
  it('says how many cycles lie between, and asks to look again at what cannot be', () => {
    expect(counterHint(aDoor(), counter, 42_500, now)).toEqual({ odd: false, text: '2,500 cycles since then, about 250 a day.' });
    // A door that takes 6 s a cycle makes at most 144,000 in ten days.
    expect(counterHint(aDoor(), counter, 400_000, now)).toMatchObject({ odd: true });
    expect(counterHint(aDoor(), counter, 39_000, now)).toMatchObject({ odd: true });
    expect(counterHint(aDoor(), { ...counter, lastValue: null }, 5, now)).toBeNull();
  });
});

describe('a force test on the device', () => {
  const opening = { widthMm: 3000, heightMm: 3500 };
  const figures = figuresOf({ peak: '310', duration: '420', still: '90', residual: '0' });
  const gauge = { samplingHertz: 1000, accuracyPercent: 2, rangeFromNewton: 25, rangeToNewton: 2000, springNewtonPerMm: 500, discMm: 80, calibratedOn: '2026-06-01' };
  const instrument = { id: doorId, name: 'Gauge 1', serial: null, gauge };

  it('takes 27 readings at nine points and is then an answer that passes', () => {
    if ('missing' in figures) throw new Error(figures.missing);
    let readings: readonly PointReading[] = [];
    const points = measuringPoints(opening, defaultForceLimits);
    if ('refused' in points) throw new Error(points.refused);
    for (const point of points) {
      for (let time = 0; time < 3; time++) {
        const next = withReading(readings, typedAt(point, figures), opening, defaultForceLimits);
        if ('refused' in next) throw new Error(next.refused);
        readings = next;
      }
    }
    expect(readings).toHaveLength(27);
    expect(judgeForceTest(opening, readings, defaultForceLimits)).toMatchObject({ passed: true, readingsMissing: 0 });
    const answer = forceAnswer({ instrumentId: doorId, readings }, instrument, '2026-11-25');
    const step = { id: 'f', kind: 'force-test' as const, text: '', opening, limits: defaultForceLimits };
    const value = checkStep(step, answer);
    expect(value).toMatchObject({ outcome: 'passed', instrumentId: doorId });
    if ('refused' in value) throw new Error(value.refused);
    expect(answerAgain(value)).toEqual(answer);
  });

  it('refuses what cannot be, and names the figure that is no number', () => {
    expect(figuresOf({ peak: '310', duration: '', still: '1', residual: '0' })).toEqual({ missing: 'dynamic time' });
    const impossible = typedAt({ heightMm: 50, across: 'left' }, { peakNewton: 100, dynamicMs: 1, staticNewton: 200, residualNewton: 0 });
    expect(withReading([], impossible, opening, defaultForceLimits)).toMatchObject({ refused: 'greater-than-peak' });
  });

  it('leaves curves behind that the server would not take, never a figure', () => {
    if ('missing' in figures) throw new Error(figures.missing);
    const curve = Array.from({ length: 60_000 }, (_none, ms) => ({ ms, newton: 123.456 }));
    const reading = { ...typedAt({ heightMm: 50, across: 'left' as const }, figures), curve };
    expect(forceAnswer({ instrumentId: doorId, readings: [{ ...reading, curve: curve.slice(0, 900) }] }, instrument, '2026-11-25').readings[0]?.curve).toHaveLength(900);
    const large = forceAnswer({ instrumentId: doorId, readings: [reading, reading] }, instrument, '2026-11-25');
    expect(large.readings.map((one) => [one.figures.peakNewton, 'curve' in one])).toEqual([[310, false], [310, false]]);
  });
});
