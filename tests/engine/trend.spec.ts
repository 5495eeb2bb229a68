import {
  eventRate,
  fitLogLinear,
  fitPowerLaw,
  laplaceTest,
  meanCumulative,
  pareto,
  reliabilityGrowth,
  repairTrend,
  repeatFaults,
} from '@lintel/engine';
import type { RepairHistory } from '@lintel/engine';
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { seeded } from './wearDraws.js';

const history = fc
  .record({
    end: fc.integer({ min: 1, max: 400 }),
    shares: fc.array(fc.integer({ min: 1, max: 100 }), { maxLength: 8 }),
  })
  .map(({ end, shares }): RepairHistory => ({ end, events: shares.map((share) => Math.ceil((end * share) / 100)) }));
const fleet = fc.array(history, { minLength: 1, maxLength: 12 });

describe('the mean cumulative function', () => {
  it('agrees with its naive twin, mean and robust error', () => {
    fc.assert(
      fc.property(fleet, (histories) => {
        const steps = meanCumulative(histories);
        const ages = [...new Set(histories.flatMap(({ events }) => events))].sort((a, b) => a - b);
        expect([...steps.age]).toEqual(ages);
        const atRisk = new Map(ages.map((age) => [age, histories.filter(({ end }) => end >= age).length]));
        const count = (events: readonly number[], age: number) => events.filter((event) => event === age).length;
        const all = histories.flatMap(({ events }) => events);
        const rates = new Map(ages.map((age) => [age, count(all, age) / atRisk.get(age)!]));
        ages.forEach((age, i) => {
          const before = ages.slice(0, i + 1);
          const mean = before.reduce((sum, a) => sum + rates.get(a)!, 0);
          const variance = histories.reduce((sum, { events, end }) => {
            const seen = before.filter((a) => end >= a);
            const off = seen.reduce((o, a) => o + (count(events, a) - rates.get(a)!) / atRisk.get(a)!, 0);
            return sum + off * off;
          }, 0);
          expect(steps.mean[i]).toBeCloseTo(mean, 9);
          expect(steps.error[i]).toBeCloseTo(Math.sqrt(variance), 6);
          expect(steps.low[i]! <= steps.mean[i]! && steps.mean[i]! <= steps.high[i]!).toBe(true);
        });
      }),
      { numRuns: 100 },
    );
  });

  it('of units all observed to one age is the number of events over the units', () => {
    fc.assert(
      fc.property(fc.array(fc.array(fc.integer({ min: 1, max: 50 }), { maxLength: 6 }), { minLength: 1 }), (lists) => {
        const steps = meanCumulative(lists.map((events) => ({ events, end: 50 })));
        const count = lists.reduce((sum, events) => sum + events.length, 0);
        expect(steps.mean.at(-1) ?? 0).toBeCloseTo(count / lists.length, 9);
      }),
    );
  });
});

describe('trends', () => {
  it('mirroring the time turns Laplace’s z around; neither unit nor order matters', () => {
    fc.assert(
      fc.property(fleet, fc.double({ min: 1e-3, max: 1e3, noNaN: true }), (histories, unit) => {
        const test = laplaceTest(histories);
        if (test === null) return;
        const early = histories.map(({ events, end }) => ({
          end,
          events: events.map((at) => end - at).filter((at) => at > 0),
        }));
        if (early.every(({ events }, i) => events.length === histories[i]!.events.length)) {
          expect(laplaceTest(early)!.z).toBeCloseTo(-test.z, 9);
        }
        const scaled = histories.map(({ events, end }) => ({
          end: end * unit,
          events: events.map((at) => at * unit).reverse(),
        }));
        const other = laplaceTest(scaled.reverse())!;
        expect(other.z).toBeCloseTo(test.z, 6);
        expect(other.pValue >= 0 && other.pValue <= 1).toBe(true);
      }),
      { numRuns: 300 },
    );
  });

  it('the power law expects as many events as there were, and scales with the unit', () => {
    fc.assert(
      fc.property(fleet, fc.double({ min: 1e-3, max: 1e3, noNaN: true }), (histories, unit) => {
        const fit = fitPowerLaw(histories);
        if ('none' in fit) return;
        const expected = histories.reduce((sum, { end }) => sum + (end / fit.scale) ** fit.shape, 0);
        expect(Math.abs(expected / fit.events - 1)).toBeLessThan(1e-6);
        expect(fit.logLikelihood).toBeGreaterThanOrEqual(fit.steady.logLikelihood - 1e-9);
        const other = fitPowerLaw(
          histories.map(({ events, end }) => ({ end: end * unit, events: events.map((at) => at * unit) })),
        );
        if ('none' in other) throw new Error(other.none);
        expect(Math.abs(other.shape / fit.shape - 1)).toBeLessThan(1e-6);
        expect(Math.abs(other.scale / (fit.scale * unit) - 1)).toBeLessThan(1e-5);
      }),
      { numRuns: 300 },
    );
  });

  it('the log-linear process is where its likelihood is greatest', () => {
    const logLikelihood = (histories: readonly RepairHistory[], level: number, growth: number) =>
      histories.reduce((sum, { events, end }) => {
        const expected = growth === 0 ? end : Math.expm1(growth * end) / growth;
        return sum + events.reduce((own, at) => own + level + growth * at, 0) - Math.exp(level) * expected;
      }, 0);
    fc.assert(
      fc.property(fleet, (histories) => {
        const fit = fitLogLinear(histories);
        if ('none' in fit) return;
        const best = logLikelihood(histories, fit.level, fit.growth);
        expect(fit.logLikelihood).toBeCloseTo(best, 5);
        const longest = Math.max(...histories.map(({ end }) => end));
        for (const [up, on] of [
          [0.01, 0],
          [-0.01, 0],
          [0, 0.01],
          [0, -0.01],
        ] as const) {
          expect(logLikelihood(histories, fit.level + up, fit.growth + on / longest)).toBeLessThan(best + 1e-7);
        }
      }),
      { numRuns: 200 },
    );
  });

  it('steady doors are called worse or better about as often as the level of the test says', () => {
    const random = seeded(99);
    let called = 0;
    const doors = 1500;
    for (let door = 0; door < doors; door++) {
      const events = Array.from({ length: 8 + Math.floor(12 * random()) }, () => 1000 * random());
      const { verdict } = repairTrend([{ events, end: 1000 }]);
      expect(verdict).not.toBe('too-little');
      if (verdict !== 'steady') called++;
    }
    expect(called / doors).toBeGreaterThan(0.03);
    expect(called / doors).toBeLessThan(0.07);
  });

  it('says so when there is too little to say', () => {
    expect(repairTrend([{ events: [], end: 10 }])).toEqual({
      verdict: 'too-little',
      events: 0,
      laplace: null,
      pValue: null,
      shape: null,
      intensityScale: null,
    });
    expect(repairTrend([{ events: [98, 99, 100], end: 100 }]).verdict).toBe('too-little');
    expect(repairTrend([{ events: [20, 40, 60, 80, 90], end: 100 }]).verdict).toBe('too-little');
    expect(repairTrend([{ events: [95, 96, 97, 98, 99], end: 100 }]).verdict).toBe('worse');
    expect(repairTrend([{ events: [1, 2, 3, 4, 5], end: 100 }]).verdict).toBe('better');
    expect(fitPowerLaw([{ events: [5], end: 10 }])).toEqual({ none: 'too-few-events' });
    expect(fitPowerLaw([{ events: [10, 10], end: 10 }])).toEqual({ none: 'events-at-the-end' });
    expect(fitLogLinear([{ events: [10, 10], end: 10 }])).toEqual({ none: 'events-at-the-end' });
    expect(reliabilityGrowth({ events: [1, 2], end: 10 })).toEqual({ none: 'too-few-events' });
  });

  it('names the unit that is wrong', () => {
    expect(() =>
      repairTrend([
        { events: [1], end: 5 },
        { events: [6], end: 5 },
      ]),
    ).toThrow(/events of unit 2/);
    expect(() => meanCumulative([{ events: [], end: 0 }])).toThrow(/end of unit 1/);
    expect(() => eventRate(1.5, 10)).toThrow(/events/);
    expect(() => eventRate(1, 0)).toThrow(/exposure/);
  });
});

describe('codes', () => {
  it('a Pareto chart falls, sums to 1, and does not depend on the order', () => {
    fc.assert(
      fc.property(fc.array(fc.constantFrom('E1', 'E2', 'E3', 'E4', 'E5'), { minLength: 1 }), (codes) => {
        const bars = pareto(codes);
        expect(bars.reduce((sum, { count }) => sum + count, 0)).toBe(codes.length);
        bars.forEach((bar, i) => {
          expect(bar.count).toBe(codes.filter((code) => code === bar.key).length);
          if (i > 0) expect(bar.count).toBeLessThanOrEqual(bars[i - 1]!.count);
        });
        expect(bars.at(-1)!.cumulativeShare).toBe(1);
        expect(pareto([...codes].sort())).toEqual(bars);
      }),
    );
    expect(pareto([])).toEqual([]);
  });

  it('a repair counts as repeated only if the same code comes back on the same door in time', () => {
    const day = 86_400_000;
    const fault = (door: string, code: string, on: number) => ({ door, code, at: on * day });
    const faults = [
      fault('A', 'E1', 0),
      fault('A', 'E1', 12),
      fault('A', 'E2', 3),
      fault('B', 'E1', 5),
      fault('A', 'E1', 200),
    ];
    const repairs = [
      fault('A', 'E1', 0), // the fault of day 0 is the one repaired; it is back on day 12
      fault('A', 'E1', 12), // next on day 200 only
      fault('A', 'E2', 4), // its only fault was before
      fault('B', 'E2', 0), // another code came
      fault('A', 'E1', 195), // back on day 200
      fault('B', 'E1', 190), // twenty days ago: too early
    ];
    expect(repeatFaults(faults, repairs, 210 * day)).toEqual({
      judged: 5,
      repeated: 2,
      share: 0.4,
      outcome: ['repeated', 'held', 'held', 'held', 'repeated', 'too-early-to-say'],
    });
    expect(repeatFaults([], [], 0)).toEqual({ judged: 0, repeated: 0, share: 0, outcome: [] });
  });
});
