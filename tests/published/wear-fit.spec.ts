import {
  compareLaws,
  fitAcceleratedLife,
  fitWeibull,
  kaplanMeier,
  lifeAtShare,
  livesOf,
  medianRank,
} from '@lintel/engine';
import type { LifeRow, Lives, WeibullFit } from '@lintel/engine';
import { describe, expect, it } from 'vitest';
import {
  bearingLives,
  generatorFans,
  insulatingFluid,
  motorettes,
  nistUnits,
  off,
  shockAbsorbers,
} from './wearLists.js';

// Figures without a printed source were computed with R 4.2.2 and its package survival 3.5-3 (survreg, survfit)
// or, for truncated lives, by maximising the conditional likelihood there.

function fitted(lives: Lives): WeibullFit {
  const fit = fitWeibull(lives);
  if ('none' in fit) throw new Error(fit.none);
  return fit;
}

function compared(lives: Lives) {
  const comparison = compareLaws(lives);
  if ('none' in comparison) throw new Error(comparison.none);
  return comparison;
}

/** The greater relative difference of two bounds. */
function apart(actual: [number, number], low: number, high: number): number {
  return Math.max(off(actual[0], low), off(actual[1], high));
}

// The handbook prints shape 1.7208, scale 606.5280 (not fully converged), ln L 75.135 without its sign, AIC
// 154.27.
describe('20 units of the NIST handbook, section 8.4.1.3', () => {
  const fit = fitted(nistUnits);

  it('shape, scale, likelihood, against the printed and the exact figures', () => {
    expect(Math.abs(fit.shape - 1.7208)).toBeLessThan(1e-4);
    expect(Math.abs(fit.scale - 606.528)).toBeLessThan(1e-3);
    expect(Math.abs(fit.shape - 1.7207973)).toBeLessThan(1e-6);
    expect(Math.abs(fit.scale - 606.527558)).toBeLessThan(1e-5);
    expect(Math.abs(fit.logLikelihood + 75.1346182)).toBeLessThan(1e-6);
    expect(fit).toMatchObject({ failures: 10, suspensions: 10 });
  });

  it('standard errors and covariance', () => {
    expect(off(fit.shapeError, 0.5021506)).toBeLessThan(1e-3);
    expect(off(fit.scaleError, 124.91066)).toBeLessThan(1e-3);
    expect(off(Math.sqrt(fit.logCovariance.scale), 0.20594391)).toBeLessThan(1e-3);
    expect(off(Math.sqrt(fit.logCovariance.shape), 0.29181276)).toBeLessThan(1e-3);
    // R states it for ln σ = −ln shape, hence the sign.
    expect(off(-fit.logCovariance.both, 0.02712784)).toBeLessThan(1e-3);
  });

  it('likelihood-ratio intervals', () => {
    expect(apart(fit.shapeInterval, 0.905645, 2.885738)).toBeLessThan(1e-3);
    expect(apart(fit.scaleInterval, 437.5567, 1118.8776)).toBeLessThan(1e-3);
  });

  it('ages by which a share has failed, with intervals', () => {
    const rows: [number, number, number, number][] = [
      [0.01, 41.86641, 10.3854, 168.775],
      [0.05, 107.9526, 44.6917, 260.759],
      [0.1, 164.02244, 83.8751, 320.755],
      [0.5, 490.17378, 340.207, 706.248],
    ];
    for (const [share, age, low, high] of rows) {
      const life = lifeAtShare(fit, share);
      expect(off(life.age, age)).toBeLessThan(1e-5);
      expect(apart(life.interval, low, high)).toBeLessThan(1e-3);
    }
    expect(off(lifeAtShare(fit, 0.9).age, 984.7897)).toBeLessThan(1e-5);
    expect(off(lifeAtShare(fit, 0.1).error, 56.1263)).toBeLessThan(1e-3);
    expect(fit.b10).toBe(lifeAtShare(fit, 0.1).age);
    expect(apart(fit.b50Interval, 340.207, 706.248)).toBeLessThan(1e-3);
  });

  it('against the lognormal and exponential laws (printed: AIC 154.27, 154.39)', () => {
    const laws = compared(nistUnits);
    expect(Math.abs(laws.weibull.akaike - 154.26924)).toBeLessThan(1e-3);
    expect(Math.abs(laws.lognormal!.akaike - 154.39254)).toBeLessThan(1e-3);
    expect(Math.abs(laws.lognormal!.mean - 6.2260151)).toBeLessThan(1e-5);
    expect(Math.abs(laws.lognormal!.deviation - 0.908914)).toBeLessThan(1e-5);
    expect(Math.abs(laws.exponential.akaike - 155.11138)).toBeLessThan(1e-3);
    expect(Math.abs(laws.exponential.mean - 777.1)).toBeLessThan(1e-9);
    expect(laws.better).toBe('weibull');
  });

  it('survival curve and Greenwood errors', () => {
    const steps = kaplanMeier(nistUnits);
    expect([...steps.age]).toEqual([54, 187, 216, 240, 244, 335, 361, 373, 375, 386]);
    steps.survival.forEach((value, i) => expect(value).toBeCloseTo(0.95 - 0.05 * i, 6));
    const errors: [number, number][] = [
      [54, 0.048734],
      [216, 0.0798436],
      [335, 0.1024695],
      [386, 0.1118034],
    ];
    for (const [age, error] of errors)
      expect(Math.abs(steps.error[steps.age.indexOf(age)]! - error)).toBeLessThan(1e-6);
  });
});

describe('23 ball bearings (Lieblein & Zelen 1956)', () => {
  const complete = (lives: number[]) => livesOf(lives.map((age) => ({ age, event: 1 })));

  it('complete sample', () => {
    const fit = fitted(complete(bearingLives));
    expect(off(fit.shape, 2.1020589)).toBeLessThan(1e-6);
    expect(off(fit.scale, 81.878334)).toBeLessThan(1e-6);
    expect(off(fit.logLikelihood, -113.691291)).toBeLessThan(1e-7);
    expect(off(fit.shapeError, 0.328687)).toBeLessThan(1e-4);
    expect(off(fit.scaleError, 8.600446)).toBeLessThan(1e-4);
    expect(off(fit.b10, 28.069414)).toBeLessThan(1e-6);
    expect(apart(fit.b10Interval, 18.0601, 43.6261)).toBeLessThan(1e-3);
    expect(off(fit.b50, 68.777413)).toBeLessThan(1e-6);
    expect(apart(fit.shapeInterval, 1.504146, 2.791535)).toBeLessThan(1e-3);
    expect(apart(fit.scaleInterval, 65.6991, 100.8754)).toBeLessThan(1e-3);
  });

  it.each([
    [48.4, 2.1018469, 81.874559, 28.065089],
    [48.8, 2.102903, 81.893431, 28.086656],
  ])('the copies with %d for the seventh', (seventh, shape, scale, b10) => {
    const fit = fitted(complete(bearingLives.map((life) => (life === 48.48 ? seventh : life))));
    expect(off(fit.shape, shape)).toBeLessThan(1e-6);
    expect(off(fit.scale, scale)).toBeLessThan(1e-6);
    expect(off(fit.b10, b10)).toBeLessThan(1e-6);
  });

  it('constructed: entries of 0, 15, 30 in turn, and suspended at 100', () => {
    const rows = bearingLives.map((life, i): LifeRow => ({
      age: Math.min(life, 100),
      event: life <= 100 ? 1 : 0,
      entry: [0, 15, 30][i % 3]!,
    }));
    expect(rows.every((row) => row.entry! < row.age)).toBe(true);
    const fit = fitted(livesOf(rows));
    expect(fit.failures).toBe(18);
    expect(off(fit.shape, 1.9533278)).toBeLessThan(1e-4);
    expect(off(fit.scale, 77.130582)).toBeLessThan(1e-4);
    expect(off(fit.logLikelihood, -90.77863)).toBeLessThan(1e-6);
    expect(off(fit.b10, 24.371914)).toBeLessThan(1e-4);
    expect(off(Math.sqrt(fit.logCovariance.shape), 0.243844)).toBeLessThan(1e-4);
    expect(off(Math.sqrt(fit.logCovariance.scale), 0.124558)).toBeLessThan(1e-4);
  });

  it('constructed: only those that lived beyond 45, all seen from there; leaving the entries out would mislead', () => {
    const survivors = bearingLives.filter((life) => life > 45);
    const fit = fitted(livesOf(survivors.map((age) => ({ age, event: 1, entry: 45 }))));
    expect(survivors.length).toBe(18);
    expect(off(fit.shape, 1.3132243)).toBeLessThan(1e-3);
    expect(off(fit.scale, 55.375409)).toBeLessThan(1e-3);
    expect(off(fit.logLikelihood, -83.472051)).toBeLessThan(1e-6);
    const misled = fitted(complete(survivors));
    expect(off(misled.shape, 2.6053)).toBeLessThan(1e-4);
    expect(off(misled.scale, 93.914)).toBeLessThan(1e-4);
  });
});

describe('38 shock absorbers (Meeker & Escobar 1998, table C.2)', () => {
  const ofMode = (...modes: number[]) =>
    livesOf(shockAbsorbers.map(({ km, mode }) => ({ age: km, event: modes.includes(mode) ? 1 : 0 })));

  it('is the list: 38 vehicles, 625,000 km', () => {
    expect(shockAbsorbers.length).toBe(38);
    expect(shockAbsorbers.reduce((sum, { km }) => sum + km, 0)).toBe(625_000);
  });

  // The book has about μ 10.23, σ 0.316, scale 27,719 (from memory).
  it('all modes together, heavily suspended', () => {
    const fit = fitted(ofMode(1, 2));
    expect(fit.failures).toBe(11);
    expect(off(fit.shape, 3.1604703)).toBeLessThan(1e-6);
    expect(off(fit.scale, 27_718.718)).toBeLessThan(1e-6);
    expect(off(Math.log(fit.scale), 10.2298632)).toBeLessThan(1e-6);
    expect(off(1 / fit.shape, 0.3164086)).toBeLessThan(1e-6);
    expect(off(fit.logLikelihood, -123.995361)).toBeLessThan(1e-7);
    expect(off(fit.shapeError, 0.730818)).toBeLessThan(1e-4);
    expect(off(fit.scaleError, 3046.023)).toBeLessThan(1e-4);
    expect(off(fit.b10, 13_600.035)).toBeLessThan(1e-6);
    expect(apart(fit.b10Interval, 10_221.8, 18_094.7)).toBeLessThan(1e-3);
    expect(apart(fit.shapeInterval, 1.89853, 4.77139)).toBeLessThan(1e-3);
  });

  it('one mode at a time, the other as suspensions', () => {
    const [first, second] = [fitted(ofMode(1)), fitted(ofMode(2))];
    expect(off(first.shape, 3.3839462)).toBeLessThan(1e-6);
    expect(off(first.scale, 31_205.798)).toBeLessThan(1e-6);
    expect(off(first.logLikelihood, -81.497976)).toBeLessThan(1e-7);
    expect(off(second.shape, 2.822211)).toBeLessThan(1e-6);
    expect(off(second.scale, 40_865.861)).toBeLessThan(1e-6);
    expect(off(second.logLikelihood, -49.636145)).toBeLessThan(1e-7);
    expect(off(first.logLikelihood + second.logLikelihood, -131.134121)).toBeLessThan(1e-7);
  });

  // Meeker & Escobar, example 3.8; at 20,100 km a failure and a suspension meet.
  it('survival curve', () => {
    const steps = kaplanMeier(ofMode(1, 2));
    const curve: [number, number][] = [
      [6700, 0.973684],
      [9120, 0.945046],
      [12200, 0.908698],
      [13150, 0.870836],
      [14300, 0.827294],
      [17520, 0.783752],
      [20100, 0.71844],
      [20900, 0.628635],
      [22700, 0.53883],
      [26510, 0.431064],
      [27490, 0.287376],
    ];
    expect([...steps.age]).toEqual(curve.map(([km]) => km));
    curve.forEach(([, value], i) => expect(Math.abs(steps.survival[i]! - value)).toBeLessThan(1e-6));
    expect(steps.atRisk[6]).toBe(12);
    expect(Math.abs(steps.error[10]! - 0.15109)).toBeLessThan(1e-6);
  });
});

describe('70 generator fans (Nelson 1982, table 1.1)', () => {
  it('no evidence of wear-out', () => {
    expect(generatorFans.age.length).toBe(70);
    expect(generatorFans.age.reduce((sum, hours) => sum + hours, 0)).toBe(344_440);
    const laws = compared(generatorFans);
    const { fit } = laws.weibull;
    expect(off(fit.shape, 1.0584459)).toBeLessThan(1e-6);
    expect(off(fit.scale, 26_296.845)).toBeLessThan(1e-6);
    expect(off(fit.logLikelihood, -135.15272)).toBeLessThan(1e-7);
    expect(off(fit.b10, 3137.241)).toBeLessThan(1e-6);
    expect(off(laws.exponential.mean, 28_703.333)).toBeLessThan(1e-7);
    expect(off(laws.exponential.logLikelihood, -135.177223)).toBeLessThan(1e-8);
    expect(off(laws.wearOut.statistic, 0.04901)).toBeLessThan(1e-3);
    expect(laws.wearOut.pValue).toBeGreaterThan(0.8);
  });
});

describe('covariates', () => {
  it('insulating fluid by ln(kilovolt): 41 units, none suspended (Nelson 1972)', () => {
    const rows = Object.entries(insulatingFluid).flatMap(([kv, times]) =>
      times.map((age) => ({ kv: Number(kv), age })),
    );
    expect(rows.length).toBe(41);
    const fit = fitAcceleratedLife(
      livesOf(rows.map(({ age }) => ({ age, event: 1 }))),
      Float64Array.from(rows, ({ kv }) => Math.log(kv)),
      'weibull',
    );
    if ('none' in fit) throw new Error(fit.none);
    expect(off(fit.intercept, 65.3039064)).toBeLessThan(1e-4);
    expect(off(fit.slope, -17.8696581)).toBeLessThan(1e-4);
    expect(off(fit.spread, 1.1992897)).toBeLessThan(1e-4);
    expect(off(fit.logLikelihood, -160.820197)).toBeLessThan(1e-6);
    expect(off(fit.interceptError, 6.771066)).toBeLessThan(1e-4);
    expect(off(fit.slopeError, 1.936774)).toBeLessThan(1e-4);
    expect(off(fit.logSpreadError, 0.119362)).toBeLessThan(1e-4);
  });

  it.each([
    ['weibull', -13.353003, 9723.879, 0.325444, 696.246, -146.3],
    ['lognormal', -13.857504, 9924.859, 0.596787, 1005.243, -148.5],
  ] as const)(
    'motorettes by 1/kelvin, many suspended, %s (Nelson & Hahn 1972)',
    (law, intercept, slope, spread, error, lnL) => {
      expect(motorettes.length).toBe(40);
      const fit = fitAcceleratedLife(
        livesOf(motorettes.map(({ row }) => row)),
        Float64Array.from(motorettes, ({ celsius }) => 1 / (celsius + 273.15)),
        law,
      );
      if ('none' in fit) throw new Error(fit.none);
      expect(off(fit.intercept, intercept)).toBeLessThan(1e-4);
      expect(off(fit.slope, slope)).toBeLessThan(1e-4);
      expect(off(fit.spread, spread)).toBeLessThan(1e-4);
      expect(off(fit.slopeError, error)).toBeLessThan(1e-4);
      expect(Math.abs(fit.logLikelihood - lnL)).toBeLessThan(0.05);
    },
  );
});

// Bénard & Bos-Levenbach (1953), from memory.
it('median ranks of five', () => {
  [0.12963, 0.314815, 0.5, 0.685185, 0.87037].forEach((rank, i) => {
    expect(Math.abs(medianRank(i + 1, 5) - rank)).toBeLessThan(1e-6);
  });
});
