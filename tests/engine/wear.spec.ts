import {
  chanceByDay,
  chanceOfFailure,
  conditionOf,
  dutyNodes,
  partOutlook,
  priorModel,
  remainingLife,
  renewalAge,
  survival,
  weibullMeanRemaining,
} from '@lintel/engine';
import type { DutyModel, DutyNodes, LifeRating, WearModel } from '@lintel/engine';
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { nodesOf } from './wearDraws.js';

const rating = fc.record<LifeRating>({
  b10Cycles: fc.double({ min: 1e3, max: 5e6, noNaN: true }),
  b10Months: fc.constant(null),
  shape: fc.double({ min: 0.7, max: 6, noNaN: true }),
  shapeSpread: fc.double({ min: 0, max: 0.4, noNaN: true }),
  ratingSpread: fc.double({ min: 0, max: 0.8, noNaN: true }),
});

const duty = fc
  .record({
    level: fc.double({ min: 0, max: 3000, noNaN: true }),
    spread: fc.double({ min: 0, max: 1, noNaN: true }),
    drift: fc.double({ min: 0, max: 50, noNaN: true }),
    dispersion: fc.double({ min: 1, max: 100, noNaN: true }),
  })
  .map(({ level, spread, drift, dispersion }): DutyModel => ({
    asOf: Date.UTC(2026, 5, 1),
    lifetimeCycles: 100_000,
    cyclesPerDay: { p10: level, p50: level, p90: level },
    level,
    levelVariance: (spread * level) ** 2,
    driftVariancePerDay: drift,
    dispersion,
    readings: 9,
    lastReadingAt: Date.UTC(2026, 4, 30),
    changedAt: null,
    weekday: null,
    seasonal: null,
  }));

/** Age of a part, as a multiple of the rated B10. */
const wornShare = fc.double({ min: 0, max: 5, noNaN: true });

describe('the wear model', () => {
  it('puts the rating where it belongs: half of the weight on either side of the rated B10', () => {
    const model = priorModel({ b10Cycles: 100_000, b10Months: null, shape: 2, shapeSpread: 0.3, ratingSpread: 0.5 });
    let below = 0;
    let sum = 0;
    model.weights.forEach((weight, k) => {
      const b10 = model.scales[k]! * (-Math.log(0.9)) ** (1 / model.shapes[k]!);
      sum += weight;
      if (Math.abs(b10 / 100_000 - 1) < 1e-9) below += weight / 2;
      else if (b10 < 100_000) below += weight;
    });
    expect(sum).toBeCloseTo(1, 12);
    expect(below).toBeCloseTo(0.5, 9);
  });

  it('counts a rating in months in days of 30.4375 to the month', () => {
    const model = priorModel({ b10Cycles: null, b10Months: 60, shape: 3, shapeSpread: 0, ratingSpread: 0 });
    expect(model.unit).toBe('days');
    expect(remainingLife(model, 0).p10).toBeCloseTo(60 * 30.4375, 6);
  });

  it('survival falls from 1, remaining life and survival agree, and given survival consists with the whole law', () => {
    fc.assert(
      fc.property(rating, wornShare, fc.double({ min: 1e-3, max: 20, noNaN: true }), (rated, share, more) => {
        const model = priorModel(rated);
        const age = share * rated.b10Cycles!;
        const further = more * rated.b10Cycles!;
        expect(survival(model, 0)).toBe(1);
        const left = remainingLife(model, age);
        expect(left.p10).toBeLessThanOrEqual(left.p50);
        expect(left.p50).toBeLessThanOrEqual(left.p90);
        expect(Number.isFinite(left.p90)).toBe(true);
        expect(chanceOfFailure(model, age, left.p10)).toBeCloseTo(0.1, 5);
        expect(chanceOfFailure(model, age, left.p90)).toBeCloseTo(0.9, 5);
        const chance = chanceOfFailure(model, age, further);
        expect(survival(model, age) * (1 - chance)).toBeCloseTo(survival(model, age + further), 9);
        expect(chanceOfFailure(model, age, further * 1.1)).toBeGreaterThanOrEqual(chance);
      }),
      { numRuns: 200 },
    );
  });

  it('weighs its laws anew by the age that a part has reached: the same as doing so by hand', () => {
    const model = priorModel({ b10Cycles: 50_000, b10Months: null, shape: 2.2, shapeSpread: 0.3, ratingSpread: 0.6 });
    const [age, further] = [120_000, 30_000];
    let weightSum = 0;
    let failedSum = 0;
    model.weights.forEach((weight, k) => {
      const [shape, scale] = [model.shapes[k]!, model.scales[k]!];
      const updated = weight * Math.exp(-((age / scale) ** shape));
      weightSum += updated;
      failedSum += updated * (1 - Math.exp((age / scale) ** shape - ((age + further) / scale) ** shape));
    });
    expect(chanceOfFailure(model, age, further)).toBeCloseTo(failedSum / weightSum, 7);
  });

  it('names the field that is wrong', () => {
    const good: LifeRating = { b10Cycles: 1000, b10Months: null, shape: 2, shapeSpread: 0.1, ratingSpread: 0.1 };
    expect(() => priorModel({ ...good, b10Months: 3 })).toThrow(/b10Cycles, b10Months/);
    expect(() => priorModel({ ...good, b10Cycles: null })).toThrow(/b10Cycles, b10Months/);
    expect(() => priorModel({ ...good, b10Cycles: 0 })).toThrow(/b10Cycles/);
    expect(() => priorModel({ ...good, shape: NaN })).toThrow(/shape must/);
    expect(() => priorModel({ ...good, ratingSpread: -1 })).toThrow(/ratingSpread/);
    expect(() => remainingLife(priorModel(good), -1)).toThrow(/age/);
    expect(() => partOutlook(priorModel(good), 0, null)).toThrow(/duty/);
  });
});

/** The same chance by the plain sum. */
function plainChance(model: WearModel, age: number, nodes: DutyNodes, days: number): number {
  let chance = 0;
  nodes.weights.forEach((weight, j) => (chance += weight * chanceOfFailure(model, age, nodes.cyclesAt(days, j))));
  return chance;
}

/** The date by halving alone. */
function plainDays(model: WearModel, age: number, nodes: DutyNodes, quantile: number): number {
  let [low, high] = [0, 36_525];
  if (plainChance(model, age, nodes, high) < quantile) return high;
  while (high - low > 1e-6 * high) {
    const middle = (low + high) / 2;
    if (plainChance(model, age, nodes, middle) < quantile) low = middle;
    else high = middle;
  }
  return high;
}

describe('the outlook of a part', () => {
  it('asks all duty nodes at once, which answer as they do one by one', () => {
    fc.assert(
      fc.property(duty, fc.double({ min: 0, max: 40_000, noNaN: true }), (door, days) => {
        const nodes = dutyNodes(door);
        const cycles = new Float64Array(nodes.weights.length);
        nodes.cyclesInto(days, cycles);
        expect([...cycles]).toEqual([...cycles].map((_, node) => nodes.cyclesAt(days, node)));
      }),
    );
  });

  it('agrees with its naive twin, is in order and finite', () => {
    fc.assert(
      fc.property(rating, duty, wornShare, (rated, door, share) => {
        const model = priorModel(rated);
        const nodes = dutyNodes(door);
        const age = share * rated.b10Cycles!;
        const outlook = partOutlook(model, age, nodes);
        expect(outlook.chance30).toBeLessThanOrEqual(outlook.chance90);
        expect(outlook.chance90).toBeLessThanOrEqual(outlook.chance365);
        expect(outlook.chance90).toBeCloseTo(plainChance(model, age, nodes, 90), 12);
        const { p10, p50, p90 } = outlook.daysAhead;
        expect(p10).toBeLessThanOrEqual(p50);
        expect(p50).toBeLessThanOrEqual(p90);
        expect(p90).toBeLessThanOrEqual(36_525);
        for (const [quantile, days] of [
          [0.1, p10],
          [0.5, p50],
          [0.9, p90],
        ] as const) {
          const twin = plainDays(model, age, nodes, quantile);
          // Where one heavy duty node alone decides, the chance is a step and many days answer; then compare
          // chances.
          if (Math.abs(days - twin) > 0.02 + 2e-3 * twin) {
            expect(plainChance(model, age, nodes, days)).toBeCloseTo(quantile, 3);
          }
        }
        expect(outlook.condition).toBe(conditionOf(outlook.chance90, outlook.chance365));
      }),
      { numRuns: 300 },
    );
  });

  it('of a part that ages by days is its remaining life itself', () => {
    const model = priorModel({ b10Cycles: null, b10Months: 48, shape: 3, shapeSpread: 0.2, ratingSpread: 0.3 });
    const outlook = partOutlook(model, 900, null);
    expect(outlook.daysAhead).toEqual(outlook.remaining);
    expect(outlook.chance90).toBeCloseTo(chanceOfFailure(model, 900, 90), 12);
  });

  it('is a hundred years off for a door that stands still', () => {
    const model = priorModel({ b10Cycles: 500_000, b10Months: null, shape: 3, shapeSpread: 0.2, ratingSpread: 0.3 });
    const still = nodesOf([0.5, 0.5], () => 0);
    const outlook = partOutlook(model, 100, still);
    expect(outlook.daysAhead).toEqual({ p10: 36_525, p50: 36_525, p90: 36_525 });
    expect(outlook.condition).toBe('sound');
  });

  it('gets no better with age where parts wear out', () => {
    const model = priorModel({ b10Cycles: 100_000, b10Months: null, shape: 3, shapeSpread: 0, ratingSpread: 0 });
    const nodes = nodesOf([1], (days) => 200 * days);
    let before = 0;
    for (let age = 0; age <= 300_000; age += 10_000) {
      const { chance90 } = partOutlook(model, age, nodes);
      expect(chance90).toBeGreaterThan(before);
      before = chance90;
    }
  });

  it('has a condition at each threshold', () => {
    expect(conditionOf(0.15, 0.3)).toBe('worn');
    expect(conditionOf(0.01, 0.5)).toBe('worn');
    expect(conditionOf(0.1499, 0.4999)).toBe('wearing');
    expect(conditionOf(0.01, 0.25)).toBe('wearing');
    expect(conditionOf(0.05, 0.2)).toBe('wearing');
    expect(conditionOf(0.0499, 0.2499)).toBe('sound');
  });
});

describe('a chance read off known points', () => {
  it('is the law’s own where the law is Weibull, and within the outlook’s points otherwise', () => {
    const law = (days: number, shape: number, scale: number) => -Math.expm1(-((days / scale) ** shape));
    fc.assert(
      fc.property(fc.double({ min: 0.5, max: 6, noNaN: true }), fc.double({ min: 100, max: 3000, noNaN: true }), fc.double({ min: 20, max: 3000, noNaN: true }), (shape, scale, days) => {
        const points = [90, 365, 30].map((at) => ({ days: at, chance: law(at, shape, scale) }));
        const read = chanceByDay(points, days);
        if (read === null) return;
        expect(read).toBeCloseTo(law(days, shape, scale), 6);
      }),
      { seed: 4711 },
    );
    const points = [{ days: 30, chance: 0.02 }, { days: 90, chance: 0.2 }, { days: 365, chance: 0.5 }];
    for (const { days, chance } of points) expect(chanceByDay(points, days)).toBeCloseTo(chance, 12);
    expect(chanceByDay(points, 0)).toBe(0);
    expect(chanceByDay(points, 60)).toBeGreaterThan(0.02);
    expect(chanceByDay(points, 1e6)).toBeLessThanOrEqual(1);
    expect(chanceByDay([{ days: 30, chance: 0 }, { days: 90, chance: 0.1 }], 60)).toBeNull();
  });
});

describe('the renewal age', () => {
  it('costs no more than any other age, by integrating the survival numerically', () => {
    const costRate = (shape: number, failureCost: number, age: number) => {
      const steps = 4000;
      let uptime = 0;
      for (let i = 0; i < steps; i++) uptime += Math.exp(-((((i + 0.5) * age) / steps) ** shape));
      const survived = Math.exp(-(age ** shape));
      return (survived + failureCost * (1 - survived)) / ((uptime * age) / steps);
    };
    fc.assert(
      fc.property(
        fc.double({ min: 1.2, max: 6, noNaN: true }),
        fc.double({ min: 1.5, max: 60, noNaN: true }),
        fc.double({ min: 0.3, max: 3, noNaN: true }),
        (shape, failureCost, factor) => {
          const best = renewalAge({ shape, scale: 1, plannedCost: 1, failureCost });
          if ('none' in best) {
            expect(best.none).toBe('beyond-life');
            return;
          }
          expect(best.costRate).toBeCloseTo(costRate(shape, failureCost, best.age), 4);
          expect(costRate(shape, failureCost, best.age * factor)).toBeGreaterThanOrEqual(best.costRate * (1 - 1e-4));
          expect(best.costRate).toBeLessThanOrEqual(
            (failureCost / weibullMeanRemaining({ shape, scale: 1 }, 0)) * (1 + 1e-9),
          );
        },
      ),
      { numRuns: 200 },
    );
  });
});
