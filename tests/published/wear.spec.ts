import { chanceOfFailure, priorModel, remainingLife, renewalAge, survival } from '@lintel/engine';
import { weibullChance, weibullMeanRemaining, weibullRemaining } from '@lintel/engine';
import weibull from '@stdlib/stats-base-dists-weibull';
import { describe, expect, it } from 'vitest';

/** Relative difference. */
function off(actual: number, expected: number): number {
  return Math.abs(actual - expected) / Math.abs(expected);
}

/** A rating without any doubt is a single Weibull law. */
function certain(shape: number, scale: number) {
  return priorModel({
    b10Cycles: scale * (-Math.log(0.9)) ** (1 / shape),
    b10Months: null,
    shape,
    shapeSpread: 0,
    ratingSpread: 0,
  });
}

// Residual life of the law fitted to the 20 units of NIST/SEMATECH e-Handbook of Statistical Methods, section
// 8.4.1.3; the residual quantities were recomputed with R 4.2.2 (stats::pweibull, integrate).
describe('residual life given survival', () => {
  const life = { shape: 1.720797261, scale: 606.527558 };
  const rows = [
    { age: 0, chance: 0.0439689, b10: 164.0224, median: 490.1738, mean: 540.737 },
    { age: 100, chance: 0.0980963, b10: 101.652, median: 408.4087, mean: 462.7121 },
    { age: 300, chance: 0.1736618, b10: 57.7452, median: 303.3251, mean: 364.7044 },
    { age: 500, chance: 0.2322738, b10: 41.4541, median: 240.6844, mean: 303.1173 },
  ];

  it.each(rows)('closed forms at age $age', ({ age, chance, b10, median, mean }) => {
    expect(off(weibullChance(life, age, 100), chance)).toBeLessThan(1e-5);
    expect(off(weibullRemaining(life, age, 0.1), b10)).toBeLessThan(1e-5);
    expect(off(weibullRemaining(life, age, 0.5), median)).toBeLessThan(1e-5);
    expect(off(weibullMeanRemaining(life, age), mean)).toBeLessThan(1e-5);
  });

  it.each(rows)('the tabulated model at age $age', ({ age, chance, b10, median }) => {
    const model = certain(life.shape, life.scale);
    const remaining = remainingLife(model, age);
    expect(off(chanceOfFailure(model, age, 100), chance)).toBeLessThan(1e-5);
    expect(off(remaining.p10, b10)).toBeLessThan(1e-5);
    expect(off(remaining.p50, median)).toBeLessThan(1e-5);
  });
});

// Reference library: @stdlib/stats-base-dists-weibull 0.2.2.
describe('against a reference library', () => {
  it.each([0.8, 1, 1.5, 2.5, 5])('distribution, quantile and mean at shape %d', (shape) => {
    const scale = 1234;
    const life = { shape, scale };
    expect(off(weibullMeanRemaining(life, 0), weibull.mean(shape, scale))).toBeLessThan(1e-12);
    for (const share of [0.001, 0.1, 0.5, 0.9, 0.999]) {
      const age = weibull.quantile(share, shape, scale);
      expect(off(weibullRemaining(life, 0, share), age)).toBeLessThan(1e-12);
      expect(off(weibullChance(life, 0, age), weibull.cdf(age, shape, scale))).toBeLessThan(1e-12);
      expect(off(1 - survival(certain(shape, scale), age), weibull.cdf(age, shape, scale))).toBeLessThan(1e-9);
    }
  });

  it('the model averaged over its laws is the weighted sum of the library', () => {
    const model = priorModel({ b10Cycles: 200_000, b10Months: null, shape: 2, shapeSpread: 0.3, ratingSpread: 0.5 });
    for (const age of [2_000, 20_000, 100_000, 300_000, 900_000, 3_000_000]) {
      let failed = 0;
      model.weights.forEach((weight, k) => {
        failed += weight * weibull.cdf(age, model.shapes[k]!, model.scales[k]!);
      });
      expect(off(1 - survival(model, age), failed)).toBeLessThan(1e-6);
    }
  });
});

// Optimal age replacement: Barlow & Proschan, Mathematical Theory of Reliability (1965). The table of T*/scale
// was computed from their condition h(T)·∫R + R = c_f/(c_f − c_p) with R 4.2.2.
describe('age replacement', () => {
  const ratios = [2, 3, 5, 10, 20, 50];
  const table: [number, number[]][] = [
    [1.5, [2.174641, 1.157077, 0.675492, 0.378144, 0.22612, 0.119196]],
    [2, [1.090797, 0.737914, 0.510655, 0.336451, 0.230427, 0.143101]],
    [2.5, [0.883602, 0.656856, 0.493047, 0.354574, 0.262382, 0.1794]],
    [3, [0.810342, 0.636548, 0.50261, 0.382456, 0.29777, 0.216991]],
    [4, [0.766113, 0.641595, 0.538402, 0.439097, 0.364101, 0.28724]],
    [5, [0.760976, 0.66112, 0.574946, 0.488585, 0.420661, 0.348005]],
  ];
  const savings: [number, number[]][] = [
    [1.5, [0.156, 2.894, 10.966, 25.058, 38.828, 54.184]],
    [2, [3.331, 12.805, 27.591, 46.329, 61.2, 75.143]],
    [3, [12.043, 27.634, 45.86, 64.733, 77.434, 87.638]],
  ];

  function optimum(shape: number, scale: number, failureCost: number) {
    const answer = renewalAge({ shape, scale, plannedCost: 1, failureCost });
    if ('none' in answer) throw new Error(`no optimum: ${answer.none}`);
    return answer;
  }

  it.each(table)('optimal age at shape %d', (shape, ages) => {
    ratios.forEach((ratio, i) => expect(Math.abs(optimum(shape, 1, ratio).age - ages[i]!)).toBeLessThan(1e-5));
  });

  it.each(savings)('saving over running to failure at shape %d, percent', (shape, percents) => {
    ratios.forEach((ratio, i) => {
      const toFailure = ratio / weibull.mean(shape, 1);
      expect(Math.abs(100 * (1 - optimum(shape, 1, ratio).costRate / toFailure) - percents[i]!)).toBeLessThan(6e-4);
    });
  });

  it('worked case: shape 2.5, scale 1000, costs 1 and 5', () => {
    const answer = optimum(2.5, 1000, 5);
    expect(off(answer.age, 493.047)).toBeLessThan(5e-4);
    expect(off(answer.costRate, 0.003462043)).toBeLessThan(1e-6);
  });

  it('worked case: shape 2, ratio 10, and its identity C* = 9 h(T*)', () => {
    const answer = optimum(2, 1, 10);
    expect(Math.abs(answer.age - 0.336451)).toBeLessThan(1e-5);
    expect(Math.abs(answer.costRate - 6.056121)).toBeLessThan(1e-5);
    expect(off(answer.costRate, 9 * 2 * answer.age)).toBeLessThan(1e-12);
  });

  it('no optimum without wear-out or when a failure costs no more (theory, ibid.)', () => {
    const costs = { scale: 1000, plannedCost: 1, failureCost: 5 };
    expect(renewalAge({ ...costs, shape: 1 })).toEqual({ none: 'no-wear-out' });
    expect(renewalAge({ ...costs, shape: 0.7 })).toEqual({ none: 'no-wear-out' });
    expect(renewalAge({ ...costs, shape: 2, failureCost: 1 })).toEqual({ none: 'failure-no-dearer' });
    expect(renewalAge({ ...costs, shape: 2, failureCost: 0.5 })).toEqual({ none: 'failure-no-dearer' });
  });
});
