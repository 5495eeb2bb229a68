import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import {
  chanceReached,
  cyclesAhead,
  daysUntil,
  DEFAULT_PRIOR,
  dutyNodes,
  estimateDuty,
  forecastCounter,
  HORIZON_DAYS,
  peerPrior,
} from '@lintel/engine';
import type { CycleHistory, DutyModel, RatePrior } from '@lintel/engine';
import { blocksOf } from '../../packages/engine/src/duty/blocks.js';
import { cyclesAtDeviate, dutyDays, relativeVariance } from '../../packages/engine/src/duty/cycleSpread.js';
import { filterLevel } from '../../packages/engine/src/duty/levelFilter.js';

const DAY = 86_400_000;
const PRIOR: RatePrior = { cyclesPerDay: 150, variance: 75 ** 2, peers: 4 };

const historyOf = (pairs: readonly (readonly [number, number])[], start?: { at: number; cycles: number }): CycleHistory => ({
  at: Float64Array.from(pairs, ([day]) => day * DAY),
  cycles: Float64Array.from(pairs, ([, cycles]) => cycles),
  estimated: new Uint8Array(pairs.length),
  ...(start ? { start } : {}),
});

/** Readings of a door that keeps to a rate (cycles a day by day number), one every so many days. */
function steady(days: number, every: number, rate: (day: number) => number): CycleHistory {
  const pairs: [number, number][] = [];
  let cycles = 0;
  for (let day = 0; day <= days; day++) {
    if (day % every === 0) pairs.push([day, Math.round(cycles)]);
    cycles += rate(day);
  }
  return historyOf(pairs);
}

const models: fc.Arbitrary<DutyModel> = fc
  .record({
    steps: fc.array(fc.record({ days: fc.integer({ min: 1, max: 120 }), perDay: fc.integer({ min: 0, max: 2000 }) }), {
      maxLength: 50,
    }),
    prior: fc.record({
      cyclesPerDay: fc.double({ min: 0.5, max: 2000, noNaN: true }),
      variance: fc.double({ min: 1, max: 4e6, noNaN: true }),
      peers: fc.nat(9),
    }),
    gap: fc.integer({ min: 0, max: 400 }),
  })
  .map(({ steps, prior, gap }) => {
    const pairs: [number, number][] = [];
    let [day, cycles] = [0, 0];
    for (const step of steps) pairs.push([(day += step.days), (cycles += step.days * step.perDay)]);
    return estimateDuty(historyOf(pairs), prior, (day + gap) * DAY);
  });

describe('estimateDuty', () => {
  it('finds the rate of a steady door, daily or sparse', () => {
    for (const every of [1, 7, 30, 91]) {
      const model = estimateDuty(steady(728, every, () => 240), PRIOR, 728 * DAY);
      expect(Math.abs(model.level / 240 - 1), `every ${every} days`).toBeLessThan(0.03);
      expect(model.cyclesPerDay.p10).toBeLessThan(240);
      expect(model.cyclesPerDay.p90).toBeGreaterThan(240);
      expect(model.changedAt).toBeNull();
    }
  });

  it('without a reading says what the peers say', () => {
    const model = estimateDuty(historyOf([]), PRIOR, 100 * DAY);
    expect(model.level).toBeCloseTo(150, 9);
    expect(Math.sqrt(model.levelVariance)).toBeCloseTo(75, 9);
    expect(model.readings).toBe(0);
    expect(model.lastReadingAt).toBeNull();
    expect(model.lifetimeCycles).toBe(0);
  });

  it('with one reading and no known start, too; it carries the reading forward', () => {
    const model = estimateDuty(historyOf([[0, 5000]]), PRIOR, 10 * DAY);
    expect(model.level).toBeCloseTo(150, 9);
    expect(model.lifetimeCycles).toBeCloseTo(6500, 6);
  });

  it('with one reading and a known start has a rate of its own', () => {
    const model = estimateDuty(historyOf([[100, 40_000]], { at: 0, cycles: 0 }), PRIOR, 100 * DAY);
    expect(Math.abs(model.level / 400 - 1)).toBeLessThan(0.05);
    expect(model.levelVariance).toBeLessThan(PRIOR.variance / 5);
  });

  it('is drawn to the peers by as much as its own data are few', () => {
    const after = (days: number) => estimateDuty(historyOf([[0, 0], [days, 600 * days]]), PRIOR, days * DAY).level;
    expect(after(1)).toBeGreaterThan(150);
    expect(after(7)).toBeGreaterThan(after(1));
    expect(after(60)).toBeGreaterThan(after(7));
    expect(after(60)).toBeLessThan(600);
  });

  it('finds an abrupt change and believes the new level', () => {
    const model = estimateDuty(steady(400, 7, (day) => (day < 300 ? 300 : 120) + (day % 3)), PRIOR, 400 * DAY);
    expect(Math.abs(model.changedAt! / DAY - 300)).toBeLessThanOrEqual(7);
    expect(Math.abs(model.level / 121 - 1)).toBeLessThan(0.05);
  });

  it('does not take one wrong stretch for a change', () => {
    const model = estimateDuty(steady(400, 7, (day) => (day >= 385 && day < 392 ? 20 : 300)), PRIOR, 400 * DAY);
    expect(model.changedAt).toBeNull();
    expect(model.level).toBeGreaterThan(250);
  });

  it('learns weekdays, and they do not pass for noise', () => {
    // Twelve weeks from a Monday; closed on the seventh day.
    const model = estimateDuty(steady(84, 1, (day) => (day % 7 === 6 ? 0 : 210)), PRIOR, 84 * DAY);
    expect(model.weekday!.length).toBe(7);
    expect(model.weekday!.reduce((sum, factor) => sum + factor, 0)).toBeCloseTo(7, 9);
    expect(model.weekday![6]).toBeLessThan(0.15);
    expect(model.dispersion).toBeLessThan(8);
    expect(estimateDuty(steady(84, 7, () => 180), PRIOR, 84 * DAY).weekday).toBeNull();
  });

  it('learns a season once there are two years', () => {
    const rate = (day: number) => 200 * (1 + 0.3 * Math.cos((2 * Math.PI * day) / 365.2425));
    expect(estimateDuty(steady(700, 7, rate), PRIOR, 700 * DAY).seasonal).toBeNull();
    const model = estimateDuty(steady(1092, 7, rate), PRIOR, 1092 * DAY);
    expect(model.seasonal![0]).toBeCloseTo(0.3, 1);
    // Half a year on from the top of the season a quarter has fewer cycles than the level alone would say.
    const ahead = (from: number, to: number) => cyclesAhead(model, to).p50 - cyclesAhead(model, from).p50;
    expect(ahead(150, 240) / 90 / model.level).toBeLessThan(0.85);
    // None there: looked for, and none seen.
    expect(estimateDuty(steady(1092, 7, () => 200), PRIOR, 1092 * DAY).seasonal).toEqual([]);
  });

  it('does not learn from estimated cycles, nor from readings after asOf', () => {
    const history = steady(200, 10, () => 100);
    const spoiled = { ...history, cycles: history.cycles.map((cycles, index) => (index >= 15 ? cycles + 90_000 : cycles)) };
    spoiled.estimated = Uint8Array.from(history.estimated, (_, index) => (index === 15 ? 1 : 0));
    expect(Math.abs(estimateDuty(spoiled, PRIOR, 200 * DAY).level / 100 - 1)).toBeLessThan(0.03);
    expect(estimateDuty(spoiled, PRIOR, 145 * DAY)).toEqual(estimateDuty(history, PRIOR, 145 * DAY));
  });

  it('grows less sure as the last reading grows old', () => {
    const history = steady(200, 10, () => 100);
    const variances = [200, 260, 400].map((day) => estimateDuty(history, PRIOR, day * DAY).levelVariance);
    expect(variances[1]).toBeGreaterThan(variances[0]!);
    expect(variances[2]).toBeGreaterThan(variances[1]!);
  });

  it('scales: ten times the cycles of a busy door are ten times the rate', () => {
    const noisy = (day: number) => 3000 + ((day * 7919) % 1000);
    const one = estimateDuty(steady(600, 7, noisy), { cyclesPerDay: 3000, variance: 9e6, peers: 0 }, 600 * DAY);
    const tenfold = (day: number) => 10 * noisy(day);
    const ten = estimateDuty(steady(600, 7, tenfold), { cyclesPerDay: 30_000, variance: 9e8, peers: 0 }, 600 * DAY);
    expect(Math.abs(ten.level / one.level / 10 - 1)).toBeLessThan(0.005);
  });

  it('is plain JSON', () => {
    fc.assert(
      fc.property(models, (model) => {
        expect(JSON.parse(JSON.stringify(model))).toEqual(model);
      }),
      { numRuns: 50 },
    );
  });

  it('throws one clear error that names the field', () => {
    expect(() => estimateDuty(historyOf([]), PRIOR, NaN)).toThrow('asOf');
    expect(() => estimateDuty(historyOf([]), { ...PRIOR, cyclesPerDay: 0 }, 0)).toThrow('prior.cyclesPerDay');
    expect(() => estimateDuty(historyOf([]), { ...PRIOR, variance: -1 }, 0)).toThrow('prior.variance');
  });
});

describe('forecasts, whatever the history', () => {
  it('quantiles are finite, in order and never fall with the days', () => {
    fc.assert(
      fc.property(models, (model) => {
        let last = { p10: 0, p50: 0, p90: 0 };
        for (const days of [0, 0.5, 1, 3, 7, 8, 30, 90, 180, 365, 1000, 3650, HORIZON_DAYS]) {
          const ahead = cyclesAhead(model, days);
          expect(ahead.p10).toBeGreaterThanOrEqual(last.p10);
          expect(ahead.p50).toBeGreaterThanOrEqual(last.p50);
          expect(ahead.p90).toBeGreaterThanOrEqual(last.p90);
          expect(ahead.p10).toBeLessThanOrEqual(ahead.p50);
          expect(ahead.p50).toBeLessThanOrEqual(ahead.p90);
          expect(Number.isFinite(ahead.p90)).toBe(true);
          last = ahead;
        }
      }),
      { numRuns: 300 },
    );
  });

  it('days are the mirror image of cycles, and never fall with the cycles', () => {
    fc.assert(
      fc.property(models, fc.integer({ min: 1, max: 2_000_000 }), (model, cycles) => {
        const until = daysUntil(model, cycles);
        expect(until.p10).toBeLessThanOrEqual(until.p50);
        expect(until.p50).toBeLessThanOrEqual(until.p90);
        const mirror = [
          [until.p10, 'p90', 0.1],
          [until.p50, 'p50', 0.5],
          [until.p90, 'p10', 0.9],
        ] as const;
        for (const [days, quantile, chance] of mirror) {
          if (days >= HORIZON_DAYS) {
            expect(cyclesAhead(model, HORIZON_DAYS)[quantile]).toBeLessThanOrEqual(cycles);
            continue;
          }
          expect(cyclesAhead(model, days)[quantile]).toBeGreaterThanOrEqual(cycles * (1 - 1e-9));
          expect(cyclesAhead(model, Math.max(0, days - 0.002))[quantile]).toBeLessThanOrEqual(cycles);
          // Within the thousandth of a day to which days are found.
          expect(chanceReached(model, cycles, days)).toBeGreaterThanOrEqual(chance - 1e-6);
          expect(chanceReached(model, cycles, Math.max(0, days - 0.002))).toBeLessThanOrEqual(chance + 1e-6);
        }
        expect(daysUntil(model, cycles + 1000).p50).toBeGreaterThanOrEqual(until.p50);
      }),
      { numRuns: 300 },
    );
  });

  it('chances lie between 0 and 1 and rise with the days', () => {
    fc.assert(
      fc.property(models, fc.integer({ min: 1, max: 500_000 }), (model, cycles) => {
        let last = 0;
        for (const days of [0, 1, 10, 30, 90, 365, 1000, 3000, 10_000]) {
          const chance = chanceReached(model, cycles, days);
          expect(chance).toBeLessThanOrEqual(1);
          expect(chance).toBeGreaterThanOrEqual(last - 5e-3);
          last = chance;
        }
      }),
      { numRuns: 300 },
    );
  });

  it('what is reached is reached: no cycles to go are no days', () => {
    const model = estimateDuty(steady(100, 7, () => 100), PRIOR, 100 * DAY);
    expect(daysUntil(model, 0)).toEqual({ p10: 0, p50: 0, p90: 0 });
    expect(daysUntil(model, -5)).toEqual({ p10: 0, p50: 0, p90: 0 });
    expect(chanceReached(model, 0, 0)).toBe(1);
    expect(cyclesAhead(model, 0)).toEqual({ p10: 0, p50: 0, p90: 0 });
    expect(daysUntil(model, 1e12)).toEqual({ p10: HORIZON_DAYS, p50: HORIZON_DAYS, p90: HORIZON_DAYS });
    expect(() => cyclesAhead(model, -1)).toThrow('daysAhead');
    expect(() => daysUntil(model, NaN)).toThrow('cyclesToGo');
  });

  it('nodes keep the mean and the spread', () => {
    fc.assert(
      fc.property(models, fc.constantFrom(30, 180, 720), (model, days) => {
        const nodes = dutyNodes(model);
        expect(nodes.weights.reduce((sum, weight) => sum + weight, 0)).toBeCloseTo(1, 12);
        let [mean, last] = [0, 0];
        nodes.weights.forEach((weight, node) => {
          const cycles = nodes.cyclesAt(days, node);
          expect(cycles).toBeGreaterThanOrEqual(last);
          mean += weight * cycles;
          last = cycles;
        });
        const expected = model.level * dutyDays(model, days);
        // The cube-root rule loses some of the mean where the count is as unsure as itself.
        expect(Math.abs(mean / expected - 1)).toBeLessThan(0.005 + 0.05 * relativeVariance(model, days));
        expect(nodes.cyclesAt(days, 2)).toBeCloseTo(cyclesAhead(model, days).p50, 6);
      }),
      { numRuns: 200 },
    );
  });

  it('days of duty are the integral of weekday and season (naive twin: a sum of small steps)', () => {
    const model = estimateDuty(
      steady(1092, 1, (day) => (day % 7 >= 5 ? 60 : 250) * (1 + 0.2 * Math.sin((2 * Math.PI * day) / 365.2425))),
      PRIOR,
      1094.5 * DAY,
    );
    expect(model.weekday).not.toBeNull();
    const rate = (daysAhead: number) => {
      const sinceReading = (model.asOf - model.lastReadingAt!) / DAY + daysAhead;
      const angle = (2 * Math.PI * (model.asOf / DAY + daysAhead)) / 365.2425;
      let season = 1;
      for (let k = 1; 2 * k <= model.seasonal!.length; k++) {
        season += model.seasonal![2 * k - 2]! * Math.cos(k * angle) + model.seasonal![2 * k - 1]! * Math.sin(k * angle);
      }
      return season * model.weekday![Math.floor(sinceReading) % 7]!;
    };
    for (const days of [0.7, 3, 10, 45, 200]) {
      const steps = 20_000;
      let sum = 0;
      for (let step = 0; step < steps; step++) sum += (rate(((step + 0.5) * days) / steps) * days) / steps;
      // The season is read at the end of the duty made, not of the time passed: less than a weekend's
      // difference.
      expect(Math.abs(dutyDays(model, days) - sum)).toBeLessThan(0.02 + 0.005 * days);
    }
  });
});

describe('blocksOf', () => {
  it('holds every counted cycle and day once, and no estimated one', () => {
    fc.assert(
      fc.property(
        fc.array(
          fc.record({
            days: fc.double({ min: 0.1, max: 40, noNaN: true }),
            cycles: fc.nat(9000),
            estimated: fc.constantFrom(0, 0, 0, 1),
          }),
          { minLength: 1, maxLength: 60 },
        ),
        (steps) => {
          const history = historyOf([]);
          let [day, total, counted, countedDays] = [0, 0, 0, 0];
          history.at = Float64Array.from(steps, (step) => (day += step.days) * DAY);
          history.cycles = Float64Array.from(steps, (step) => (total += step.cycles));
          history.estimated = Uint8Array.from(steps, (step) => step.estimated);
          for (const step of steps.slice(1)) {
            counted += step.estimated ? 0 : step.cycles;
            countedDays += step.estimated ? 0 : step.days;
          }
          const blocks = blocksOf(history, steps.length);
          let [cycles, days] = [0, 0];
          for (let index = 0; index < blocks.count; index++) {
            cycles += blocks.cycles[index]!;
            days += blocks.to[index]! - blocks.from[index]!;
            if (index > 0) expect(blocks.from[index]).toBeGreaterThanOrEqual(blocks.to[index - 1]!);
          }
          expect(cycles).toBe(counted);
          expect(Math.abs(days - countedDays)).toBeLessThan(1e-6);
        },
      ),
    );
  });
});

describe('filterLevel (naive twin: dense Gaussian algebra)', () => {
  // Blocks of differing length with gaps between, none far enough off to be an outlier; rates about 200 a
  // day, and a door so unsteady that the noise of its days is at its upper bound.
  it.each([
    { lengths: [7, 7, 12, 30, 7, 21, 7, 7, 9], rates: [190, 214, 205, 188, 223, 201, 196, 217, 208], seenNoise: 1500 },
    { lengths: [30, 31, 91, 30, 30, 60, 31, 30, 28], rates: [190, 20, 400, 88, 323, 31, 396, 17, 208], seenNoise: 4e5 },
  ])('gives the posterior of the level that conditioning on all blocks at once gives', ({ lengths, rates, seenNoise }) => {
    const gaps = [0, 3, 0, 0, 10, 0, 0, 5, 0];
    const count = lengths.length;
    const from = new Float64Array(count);
    const to = new Float64Array(count);
    let end = 0;
    for (let index = count - 1; index >= 0; index--) {
      to[index] = end;
      from[index] = end - lengths[index]!;
      end = from[index]! - gaps[index]!;
    }
    const days = Float64Array.from(lengths);
    const cycles = days.map((length, index) => length * rates[index]!);
    const start = { mean: 150, variance: 75 ** 2 };
    const found = filterLevel({ count, from, to, cycles, days }, [], start, seenNoise);

    let [recentCycles, recentDays] = [0, 0];
    for (let index = count - 1; index >= 0 && recentDays < 90; index--) {
      recentCycles += cycles[index]!;
      recentDays += days[index]!;
    }
    const typical = recentCycles / recentDays;
    const usual = 8 * typical;
    const rough = (3 * usual + (count - 1) * seenNoise) / (3 + count - 1);
    const middles = Array.from(from, (day, index) => 0.5 * (day + to[index]!));
    const runs = [1e-7, 4e-7, 1.6e-6, 6e-6, 2e-5, 6e-5, 1.8e-4, 6e-4].map((relative) => {
      const ratio = (relative * typical * typical) / rough;
      const walk = (a: number, b: number) => start.variance / rough + ratio * (Math.min(a, b) - middles[0]!);
      const covariance = middles.map((a, i) =>
        middles.map((b, j) => walk(a, b) + (i === j ? 1 / days[i]! + (ratio * days[i]!) / 12 : 0)),
      );
      const errors = rates.map((rate) => rate - start.mean);
      const { solved, logDeterminant } = solve(covariance, errors);
      // The first block does not count for the noise: what is left are the others, given it.
      const firstSpread = covariance[0]![0]!;
      const toNow = middles.map((a) => walk(a, 0));
      const squares =
        errors.reduce((sum, error, index) => sum + error * solved[index]!, 0) - errors[0]! ** 2 / firstSpread;
      const logs = logDeterminant - Math.log(firstSpread);
      const noise = Math.min(Math.max((3 * usual + squares) / (2 + count), typical), Math.max(usual, (1.5 * typical) ** 2));
      const gains = solve(covariance, toNow).solved;
      const mean = start.mean + toNow.reduce((sum, value, index) => sum + value * solved[index]!, 0);
      const variance = (walk(0, 0) - toNow.reduce((sum, value, index) => sum + value * gains[index]!, 0)) * noise;
      const off = Math.log((ratio * noise) / (1.5e-5 * typical * typical)) / 2;
      const score = -0.5 * ((2 + count) * Math.log(noise) + (3 * usual + squares) / noise + logs + off * off);
      return { mean, variance, score };
    });
    const top = Math.max(...runs.map((run) => run.score));
    const weights = runs.map((run) => Math.exp(run.score - top));
    const total = weights.reduce((sum, weight) => sum + weight, 0);
    const level = runs.reduce((sum, run, index) => sum + (weights[index]! / total) * run.mean, 0);
    const variance = runs.reduce(
      (sum, run, index) => sum + (weights[index]! / total) * (run.variance + (run.mean - level) ** 2),
      0,
    );
    expect(Math.abs(found.level / level - 1)).toBeLessThan(1e-9);
    expect(Math.abs(found.variance / variance - 1)).toBeLessThan(1e-7);
  });
});

/**
 * Solves a symmetric positive-definite system by Gauss's elimination; the logarithm of its determinant comes
 * with it.
 */
function solve(matrix: number[][], right: number[]): { solved: number[]; logDeterminant: number } {
  const rows = matrix.map((row, index) => [...row, right[index]!]);
  const size = rows.length;
  let logDeterminant = 0;
  for (let pivot = 0; pivot < size; pivot++) {
    logDeterminant += Math.log(rows[pivot]![pivot]!);
    for (let index = pivot + 1; index < size; index++) {
      const factor = rows[index]![pivot]! / rows[pivot]![pivot]!;
      for (let column = pivot; column <= size; column++) rows[index]![column]! -= factor * rows[pivot]![column]!;
    }
  }
  const solved = new Array<number>(size).fill(0);
  for (let pivot = size - 1; pivot >= 0; pivot--) {
    let value = rows[pivot]![size]!;
    for (let column = pivot + 1; column < size; column++) value -= rows[pivot]![column]! * solved[column]!;
    solved[pivot] = value / rows[pivot]![pivot]!;
  }
  return { solved, logDeterminant };
}

describe('peerPrior', () => {
  it('without peers says the default, with one stays wide', () => {
    expect(peerPrior([])).toEqual(DEFAULT_PRIOR);
    expect(peerPrior([{ cycles: 0, days: 0 }])).toEqual(DEFAULT_PRIOR);
    const one = peerPrior([{ cycles: 30_000, days: 100 }]);
    expect(one.peers).toBe(1);
    expect(one.cyclesPerDay).toBeGreaterThan(200);
    expect(one.cyclesPerDay).toBeLessThan(300);
    expect(Math.sqrt(one.variance) / one.cyclesPerDay).toBeGreaterThan(0.5);
  });

  it('finds mean and spread of many peers, counting noise taken out', () => {
    // True rates 100 ... 300, evenly spaced: mean 200, variance 200² / 12.
    const peers = Array.from({ length: 101 }, (_, index) => ({ cycles: (100 + 2 * index) * 365, days: 365 }));
    const prior = peerPrior(peers);
    expect(Math.abs(prior.cyclesPerDay / 200 - 1)).toBeLessThan(0.01);
    expect(Math.abs(prior.variance / (200 ** 2 / 12) - 1)).toBeLessThan(0.07);
  });

  it('does not take the counting noise of short watches for differences between doors', () => {
    // Counts of a day scatter by 8 × 200 about the rate; of a year, by next to nothing.
    const watched = (days: number) =>
      peerPrior(Array.from({ length: 101 }, (_, index) => ({ cycles: (100 + 2 * index) * days, days }))).variance;
    expect(Math.abs(watched(365) - watched(1) - 1600)).toBeLessThan(160);
  });

  it('narrows with more like peers, in any order, and never to nothing', () => {
    const like = (count: number) => peerPrior(Array.from({ length: count }, () => ({ cycles: 20_000, days: 100 })));
    expect(like(3).variance).toBeGreaterThan(like(10).variance);
    expect(like(10).variance).toBeGreaterThan(like(100).variance);
    expect(like(100).variance).toBeGreaterThan(0);
    fc.assert(
      fc.property(
        fc.array(fc.record({ cycles: fc.nat(1_000_000), days: fc.integer({ min: 0, max: 2000 }) }), { maxLength: 20 }),
        (peers) => {
          const one = peerPrior(peers);
          const other = peerPrior([...peers].reverse());
          expect(one.cyclesPerDay).toBeGreaterThan(0);
          expect(one.variance).toBeGreaterThan(0);
          expect(Math.abs(other.cyclesPerDay / one.cyclesPerDay - 1)).toBeLessThan(1e-9);
          expect(Math.abs(other.variance / one.variance - 1)).toBeLessThan(1e-9);
        },
      ),
    );
  });

  it('throws one clear error that names the peer', () => {
    expect(() => peerPrior([{ cycles: 1, days: 1 }, { cycles: -1, days: 1 }])).toThrow('peer 1: cycles');
    expect(() => peerPrior([{ cycles: 1, days: NaN }])).toThrow('peer 0: days');
  });
});

describe('forecastCounter', () => {
  const readings = Array.from({ length: 30 }, (_, index) => ({ at: index * 7 * DAY, value: (98_000 + index * 1400) % 100_000 }));
  const ask = (asOfDay: number) =>
    forecastCounter(readings, [], { minCycleSeconds: 10 }, PRIOR, {
      asOf: asOfDay * DAY,
      horizonsDays: [30, 90],
      target: 200_000,
    });

  it('goes from raw values to lifetime cycles and the day of a target', () => {
    const { verdicts, horizons, targetDaysAhead } = ask(203);
    expect(verdicts.filter((verdict) => verdict === 'used-rollover').length).toBe(1);
    expect(horizons.map((horizon) => horizon.daysAhead)).toEqual([30, 90]);
    // 98,000 + 203 days × 200 = 138,600 now.
    expect(Math.abs(horizons[0]!.lifetimeCycles.p50 / 144_600 - 1)).toBeLessThan(0.01);
    expect(Math.abs(targetDaysAhead!.p50 / 307 - 1)).toBeLessThan(0.05);
  });

  it('holds the doubt about the cycles since the last reading', () => {
    const width = (days: number) => {
      const { p10, p90 } = ask(days).horizons[0]!.lifetimeCycles;
      return p90 - p10;
    };
    expect(width(293)).toBeGreaterThan(1.5 * width(203));
  });

  it('a target that is reached is zero days ahead; no target, no answer', () => {
    const question = { asOf: 203 * DAY, horizonsDays: [], target: 120_000 };
    expect(forecastCounter(readings, [], { minCycleSeconds: 10 }, PRIOR, question).targetDaysAhead!.p90).toBe(0);
    const none = forecastCounter(readings, [], { minCycleSeconds: 10 }, PRIOR, { ...question, target: null });
    expect(none.targetDaysAhead).toBeNull();
  });
});

describe('cyclesAtDeviate', () => {
  it('rises with the days: to the last digit within two deviations, but for parts of a cycle within three', () => {
    fc.assert(
      fc.property(models, fc.double({ min: -3, max: 3, noNaN: true }), (model, deviate) => {
        let last = 0;
        for (let days = 0.25; days < 4000; days *= 1.5) {
          const cycles = cyclesAtDeviate(model, days, deviate);
          expect(cycles).toBeGreaterThanOrEqual(Math.abs(deviate) <= 2 ? last * (1 - 1e-12) : last - 0.5);
          last = cycles;
        }
      }),
      { numRuns: 300 },
    );
  });
});
