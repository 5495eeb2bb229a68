import { compareLaws, fitAcceleratedLife, fitWeibull, kaplanMeier, livesOf, plottingPositions } from '@lintel/engine';
import type { LifeRow, Lives, WeibullFit } from '@lintel/engine';
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { off, seeded, weibullDraw } from './wearDraws.js';

const row = fc.record<LifeRow>({
  age: fc.double({ min: 1, max: 5000, noNaN: true }),
  event: fc.constantFrom(0, 1),
  entry: fc.constant(0),
});
const rows = fc.array(row, { minLength: 4, maxLength: 40 });

function fitted(lives: Lives): WeibullFit | null {
  const fit = fitWeibull(lives);
  return 'none' in fit ? null : fit;
}

/** ln L written out life by life. */
function plainLogLikelihood(list: readonly LifeRow[], shape: number, scale: number): number {
  let sum = 0;
  for (const { age, event, entry = 0, weight = 1 } of list) {
    const density = event === 1 ? Math.log(shape / scale) + (shape - 1) * Math.log(age / scale) : 0;
    sum += weight * (density - (age / scale) ** shape + (entry / scale) ** shape);
  }
  return sum;
}

describe('properties of the fit', () => {
  it('is where the plain likelihood is greatest, and its intervals where it has fallen by 1.92', () => {
    fc.assert(
      fc.property(rows, (list) => {
        const fit = fitted(livesOf(list));
        if (!fit) return;
        expect(off(fit.logLikelihood, plainLogLikelihood(list, fit.shape, fit.scale))).toBeLessThan(1e-9);
        for (const [by, on] of [
          [1.01, 1],
          [0.99, 1],
          [1, 1.01],
          [1, 0.99],
        ] as const) {
          expect(plainLogLikelihood(list, fit.shape * by, fit.scale * on)).toBeLessThan(fit.logLikelihood + 1e-9);
        }
        // At a bound of the scale no shape does better than 1.92 below the best.
        for (const scale of fit.scaleInterval) {
          let most = -Infinity;
          for (let k = -400; k <= 400; k++) {
            most = Math.max(most, plainLogLikelihood(list, fit.shape * Math.exp(k / 100), scale));
          }
          expect(most).toBeLessThan(fit.logLikelihood - 1.9207 + 1e-3);
          expect(most).toBeGreaterThan(fit.logLikelihood - 1.9207 - 0.02);
        }
      }),
      { numRuns: 60 },
    );
  });

  it('does not depend on the unit, the order, or whether a row is split into weights', () => {
    fc.assert(
      fc.property(rows, fc.double({ min: 1e-3, max: 1e4, noNaN: true }), (list, unit) => {
        const fit = fitted(livesOf(list));
        const other = fitted(livesOf(list.map((r) => ({ ...r, age: r.age * unit })).reverse()));
        const split = fitted(
          livesOf(
            list.flatMap((r) => [
              { ...r, weight: 0.25 },
              { ...r, weight: 0.75 },
            ]),
          ),
        );
        expect(other === null).toBe(fit === null);
        expect(split === null).toBe(fit === null);
        if (!fit || !other || !split) return;
        expect(off(other.shape, fit.shape)).toBeLessThan(1e-7);
        expect(off(other.scale, fit.scale * unit)).toBeLessThan(1e-7);
        expect(off(other.shapeInterval[1], fit.shapeInterval[1])).toBeLessThan(1e-5);
        expect(off(split.shape, fit.shape)).toBeLessThan(1e-9);
        expect(off(split.scaleError, fit.scaleError)).toBeLessThan(1e-7);
        expect(off(split.logLikelihood, fit.logLikelihood)).toBeLessThan(1e-9);
      }),
      { numRuns: 200 },
    );
  });

  // One that is suspended early can lower the scale by a hair, since it makes the shape steeper; one that lived
  // longer than the scale cannot.
  it('a life suspended beyond the scale never lowers it', () => {
    fc.assert(
      fc.property(rows, fc.double({ min: 1, max: 4, noNaN: true }), (list, times) => {
        const fit = fitted(livesOf(list));
        if (!fit) return;
        const more = fitted(livesOf([...list, { age: fit.scale * times, event: 0 }]));
        expect(more!.scale).toBeGreaterThanOrEqual(fit.scale * (1 - 1e-9));
      }),
      { numRuns: 300 },
    );
  });

  it('everything about it is finite and in order', () => {
    fc.assert(
      fc.property(rows, (list) => {
        const fit = fitted(livesOf(list));
        if (!fit) return;
        for (const [low, value, high] of [
          [fit.shapeInterval[0], fit.shape, fit.shapeInterval[1]],
          [fit.scaleInterval[0], fit.scale, fit.scaleInterval[1]],
          [fit.b10Interval[0], fit.b10, fit.b10Interval[1]],
          [fit.b50Interval[0], fit.b50, fit.b50Interval[1]],
        ] as const) {
          expect(0 <= low && low <= value && value <= high).toBe(true);
        }
        expect(Number.isFinite(fit.shapeError + fit.scaleError + fit.logLikelihood)).toBe(true);
        expect(fit.b10 <= fit.b50).toBe(true);
      }),
      { numRuns: 300 },
    );
  });
});

describe('lives that do not make a fit', () => {
  const none = (list: LifeRow[]) => fitWeibull(livesOf(list));

  it('each gets its reason', () => {
    expect(none([])).toEqual({ none: 'too-few-failures' });
    expect(
      none([
        { age: 10, event: 0 },
        { age: 20, event: 0 },
      ]),
    ).toEqual({ none: 'too-few-failures' });
    expect(
      none([
        { age: 10, event: 1 },
        { age: 20, event: 0 },
      ]),
    ).toEqual({ none: 'too-few-failures' });
    expect(
      none([
        { age: 10, event: 1 },
        { age: 10, event: 1 },
      ]),
    ).toEqual({ none: 'failures-at-one-age' });
    expect(
      none([
        { age: 10, event: 1 },
        { age: 10, event: 1 },
        { age: 9, event: 0 },
      ]),
    ).toEqual({ none: 'failures-at-one-age' });
    // Two failures fit; so do failures at one age if another part outlived them.
    expect(
      none([
        { age: 10, event: 1 },
        { age: 20, event: 1 },
      ]),
    ).toHaveProperty('shape');
    expect(
      none([
        { age: 10, event: 1 },
        { age: 10, event: 1 },
        { age: 12, event: 0 },
      ]),
    ).toHaveProperty('shape');
    // First seen late and gone soon after, again and again: the hazard seems to fall without end.
    const late = [1, 2, 4, 8, 16].map((entry): LifeRow => ({ entry, age: entry * 1.01, event: 1 }));
    expect(none([...late, { age: 1000, event: 0, entry: 1 }])).toEqual({ none: 'shape-not-bounded' });
    expect(compareLaws(livesOf([{ age: 10, event: 1 }]))).toEqual({ none: 'too-few-failures' });
  });

  it('invalid rows are named', () => {
    expect(() =>
      none([
        { age: 5, event: 1 },
        { age: -1, event: 0 },
      ]),
    ).toThrow(/age in row 2/);
    expect(() => none([{ age: 0, event: 1 }])).toThrow(/age in row 1/);
    expect(() => none([{ age: 5, event: 1, entry: 6 }])).toThrow(/entry in row 1/);
    expect(() => none([{ age: 5, event: 2 as 1 }])).toThrow(/event in row 1/);
    expect(() => none([{ age: 5, event: 1, weight: NaN }])).toThrow(/weight in row 1/);
    expect(() => fitWeibull({ age: new Float64Array(2), event: new Uint8Array(1) })).toThrow(/event has 1 rows/);
  });
});

describe('many lives', () => {
  it('condensing changes nothing that could be seen: 100,000 lives against the same as weights of fewer', () => {
    const random = seeded(11);
    const base: LifeRow[] = Array.from({ length: 10_000 }, () => {
      const life = weibullDraw(random, 2.3, 1e5);
      const end = 2e5 * random();
      return { age: Math.min(life, end), event: life <= end ? 1 : 0, entry: 0.1 * random() * Math.min(life, end) };
    });
    // The weighted rows stay below the number from which lives are condensed; ten times as many are condensed.
    const exact = fitted(livesOf(base.map((r) => ({ ...r, weight: 10 }))))!;
    const condensed = fitted(livesOf(Array.from({ length: 10 }, () => base).flat()))!;
    expect(condensed.failures).toBe(exact.failures);
    expect(off(condensed.shape, exact.shape)).toBeLessThan(1e-8);
    expect(off(condensed.scale, exact.scale)).toBeLessThan(1e-8);
    expect(off(condensed.logLikelihood, exact.logLikelihood)).toBeLessThan(1e-9);
    expect(off(condensed.shapeError, exact.shapeError)).toBeLessThan(1e-7);
    expect(off(condensed.scaleInterval[0], exact.scaleInterval[0])).toBeLessThan(1e-7);
  });

  it('a million lives give back the law that they were drawn from', () => {
    const random = seeded(12);
    const count = 1_000_000;
    const lives: Lives = { age: new Float64Array(count), event: new Uint8Array(count) };
    for (let i = 0; i < count; i++) {
      const life = weibullDraw(random, 1.8, 3e5);
      const end = 5e5 * random();
      lives.age[i] = Math.max(1e-6, Math.min(life, end));
      lives.event[i] = life <= end ? 1 : 0;
    }
    const fit = fitted(lives)!;
    expect(Math.abs(fit.shape - 1.8)).toBeLessThan(4 * fit.shapeError);
    expect(Math.abs(fit.scale - 3e5)).toBeLessThan(4 * fit.scaleError);
    expect(off(fit.shape, 1.8)).toBeLessThan(0.01);
  });
});

describe('intervals and tests over seeded samples', () => {
  it('95 % intervals hold the truth in 92 to 97 % of samples', () => {
    const random = seeded(2026);
    const [shape, scale, samples] = [2.2, 1000, 1000];
    const b10 = scale * (-Math.log(0.9)) ** (1 / shape);
    const held = { shape: 0, scale: 0, b10: 0 };
    for (let sample = 0; sample < samples; sample++) {
      const list = Array.from({ length: 60 }, (): LifeRow => {
        const life = weibullDraw(random, shape, scale);
        const end = 400 + 1200 * random();
        return { age: Math.min(life, end), event: life <= end ? 1 : 0 };
      });
      const fit = fitted(livesOf(list))!;
      if (fit.shapeInterval[0] <= shape && shape <= fit.shapeInterval[1]) held.shape++;
      if (fit.scaleInterval[0] <= scale && scale <= fit.scaleInterval[1]) held.scale++;
      if (fit.b10Interval[0] <= b10 && b10 <= fit.b10Interval[1]) held.b10++;
    }
    for (const count of Object.values(held)) {
      expect(count / samples).toBeGreaterThanOrEqual(0.92);
      expect(count / samples).toBeLessThanOrEqual(0.97);
    }
  });

  it('finds lognormal lives to be so, and Weibull lives not', () => {
    const random = seeded(5);
    const normal = () => Math.sqrt(-2 * Math.log(random())) * Math.cos(2 * Math.PI * random());
    const lognormal = livesOf(Array.from({ length: 400 }, () => ({ age: Math.exp(6 + 0.9 * normal()), event: 1 })));
    const weibull = livesOf(Array.from({ length: 400 }, () => ({ age: weibullDraw(random, 2, 500), event: 1 })));
    expect(compareLaws(lognormal)).toMatchObject({ better: 'lognormal' });
    expect(compareLaws(weibull)).toMatchObject({ better: 'weibull' });
    const laws = compareLaws(weibull);
    expect('none' in laws ? 1 : laws.wearOut.pValue).toBeLessThan(1e-6);
  });

  it('finds how much longer parts of one level live, and agrees with two fits of one shape', () => {
    const random = seeded(6);
    const list = Array.from({ length: 2000 }, (_, i) => ({
      age: weibullDraw(random, 2, i % 2 ? 500 : 800),
      event: 1 as const,
    }));
    const level = Float64Array.from(list, (_, i) => i % 2);
    const fit = fitAcceleratedLife(livesOf(list), level, 'weibull');
    if ('none' in fit) throw new Error(fit.none);
    expect(Math.abs(Math.log(fit.lifeFactor) - Math.log(500 / 800))).toBeLessThan(4 * fit.slopeError);
    // With every life of one level the covariate says nothing.
    expect(fitAcceleratedLife(livesOf(list), new Float64Array(2000), 'weibull')).toEqual({
      none: 'covariate-does-not-vary',
    });
    // Scaling the lives of a level by the factor found makes both levels alike: one Weibull fit has the same
    // likelihood, but for the change of scale of those lives.
    const rescaled = list.map((r, i) => ({ ...r, age: level[i] ? r.age / fit.lifeFactor : r.age }));
    const single = fitted(livesOf(rescaled))!;
    expect(off(single.shape, 1 / fit.spread)).toBeLessThan(1e-6);
    expect(off(single.logLikelihood - 1000 * fit.slope, fit.logLikelihood)).toBeLessThan(1e-8);
  });
});

describe('the survival curve and the plot', () => {
  it('without suspensions is the share of those that lived longer, and falls', () => {
    fc.assert(
      fc.property(fc.array(fc.integer({ min: 1, max: 60 }), { minLength: 1, maxLength: 80 }), (ages) => {
        const steps = kaplanMeier(livesOf(ages.map((age) => ({ age, event: 1 }))));
        steps.age.forEach((age, i) => {
          expect(steps.survival[i]).toBeCloseTo(ages.filter((other) => other > age).length / ages.length, 12);
        });
      }),
    );
  });

  it('with entries counts those at risk as a plain count does', () => {
    const entered = fc.record({
      entry: fc.integer({ min: 0, max: 30 }),
      more: fc.integer({ min: 0, max: 30 }),
      event: fc.constantFrom<0 | 1>(0, 1),
    });
    fc.assert(
      fc.property(fc.array(entered, { minLength: 1, maxLength: 60 }), (list) => {
        const lives = list
          .map(({ entry, more, event }) => ({ entry, age: entry + more, event }))
          .filter(({ age }) => age > 0);
        const steps = kaplanMeier(livesOf(lives));
        steps.age.forEach((age, i) => {
          expect(steps.atRisk[i]).toBe(lives.filter((life) => life.entry < age && life.age >= age).length);
        });
      }),
    );
  });

  it('plots complete lives at their median ranks, and no more points than asked', () => {
    const ages = [30, 10, 50, 20, 40];
    const points = plottingPositions(livesOf(ages.map((age) => ({ age, event: 1 }))));
    points.forEach((point, i) => expect(point.share).toBeCloseTo((i + 0.7) / 5.4, 12));
    const many = plottingPositions(livesOf(Array.from({ length: 1000 }, (_, i) => ({ age: i + 1, event: 1 }))), 50);
    expect(many.length).toBe(50);
    expect([many[0]!.age, many[49]!.age]).toEqual([1, 1000]);
  });

  // Johnson's adjusted ranks by hand: five units, the second and fourth suspended. Increments (6 − 0)/(1 + 5) =
  // 1, then (6 − 1)/(1 + 3) = 1.25, then (6 − 2.25)/(1 + 1) = 1.875.
  it('adjusts the ranks for suspensions', () => {
    const lives = livesOf([10, 20, 30, 40, 50].map((age, i) => ({ age, event: i % 2 ? 0 : 1 })));
    const ranks = [1, 2.25, 4.125];
    plottingPositions(lives).forEach((point, i) => expect(point.share).toBeCloseTo((ranks[i]! - 0.3) / 5.4, 12));
  });
});
