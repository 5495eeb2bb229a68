import {
  eventRate,
  fitLogLinear,
  fitPowerLaw,
  laplaceTest,
  logRatioTest,
  meanCumulative,
  reliabilityGrowth,
  repairTrend,
  reverseArrangements,
} from '@lintel/engine';
import type { RepairHistory } from '@lintel/engine';
import { describe, expect, it } from 'vitest';
import { off } from './wearLists.js';

/**
 * Valve seats of 41 diesel engines, each 'end of observation: days at replacement': Nelson & Doganaksoy (1989),
 * Nelson (1995, Technometrics 37); dataset valveSeat of R's survival 3.5-3.
 */
const valveSeats: RepairHistory[] = [
  '761',
  '759',
  '667: 98',
  '667: 326 653 653',
  '665',
  '667: 84',
  '663: 87',
  '653: 646',
  '653: 92',
  '651',
  '650: 258 328 377 621',
  '648: 61 539',
  '644: 254 276 298 640',
  '642: 76 538',
  '641: 635',
  '649: 349 404 561',
  '631',
  '596',
  '614: 120 479',
  '582: 323 449',
  '589: 139 139',
  '593',
  '589: 573',
  '606: 165 408 604',
  '594: 249',
  '613: 344 497',
  '595: 265 586',
  '389: 166 206 348',
  '601',
  '601: 410 581',
  '611',
  '608',
  '587',
  '603: 367',
  '585: 202 563 570',
  '587',
  '578',
  '578',
  '586',
  '585',
  '582',
].map((line) => {
  const [end, events = ''] = line.split(': ');
  return { end: Number(end), events: events.split(' ').filter(Boolean).map(Number) };
});

/**
 * Repairs of one system, hours, observed to 1500 h: NIST/SEMATECH e-Handbook, sections 8.2.2.3, 8.2.3.4 and
 * 8.4.5.2.
 */
const nistSystem: RepairHistory = { events: [5, 40, 43, 175, 389, 712, 747, 795, 1299, 1478], end: 1500 };

/**
 * 27 failures, hours, observed to 300 h: MIL-HDBK-189 (1981), appendix C (attribution read in an open test
 * suite).
 */
const handbookSystem: RepairHistory = {
  events: [
    2.6, 16.5, 16.5, 17.0, 21.4, 29.1, 33.3, 56.5, 63.1, 70.6, 73.0, 77.7, 93.9, 95.5, 98.1, 101.1, 132.0, 142.2, 147.7,
    149.0, 167.2, 190.7, 193.0, 198.7, 251.9, 282.5, 286.1,
  ],
  end: 300,
};

// Figures without a printed source were computed with R 4.2.2.

describe('41 engines, 48 replacements of valve seats', () => {
  it('is the list', () => {
    expect(valveSeats.length).toBe(41);
    expect(valveSeats.reduce((sum, { events }) => sum + events.length, 0)).toBe(48);
    expect(valveSeats.reduce((sum, { end }) => sum + end, 0)).toBe(25_363);
  });

  // Meeker & Escobar (1998), chapter 16.
  it('mean cumulative function, units at risk', () => {
    const steps = meanCumulative(valveSeats);
    const rows: [number, number, number][] = [
      [61, 41, 0.0243902],
      [98, 41, 0.1463415],
      [139, 41, 0.2195122],
      [202, 41, 0.2926829],
      [298, 41, 0.4634146],
      [377, 41, 0.6585366],
      [404, 40, 0.6835366],
      [497, 40, 0.8085366],
      [573, 40, 0.9585366],
      [581, 38, 0.9848524],
      [586, 34, 1.0142641],
      [604, 22, 1.0597187],
      [621, 17, 1.1185422],
      [635, 16, 1.1810422],
      [640, 16, 1.2435422],
      [646, 13, 1.3204653],
      [653, 9, 1.5426875],
    ];
    for (const [age, atRisk, mean] of rows) {
      const i = steps.age.indexOf(age);
      expect(steps.atRisk[i]).toBe(atRisk);
      expect(Math.abs(steps.mean[i]! - mean)).toBeLessThan(1e-6);
    }
    expect(steps.age.length).toBe(46);
    expect(steps.events.at(-1)).toBe(2);
  });

  it('its standard errors, robust (Lawless & Nadeau 1995) and Poisson', () => {
    const steps = meanCumulative(valveSeats);
    const error = (age: number) => steps.error[steps.age.indexOf(age)]!;
    const poisson = (age: number) => steps.poissonError[steps.age.indexOf(age)]!;
    for (const [age, value] of [
      [202, 0.0789875],
      [497, 0.1492549],
      [573, 0.1689581],
      [621, 0.2075029],
      [653, 0.3116561],
    ]) {
      expect(off(error(age!), value!)).toBeLessThan(1e-4);
    }
    for (const [age, value] of [
      [202, 0.0844903],
      [497, 0.1407546],
      [653, 0.262806],
    ]) {
      expect(off(poisson(age!), value!)).toBeLessThan(1e-4);
    }
  });

  // Meeker & Escobar have about 1.40 and 554 (from memory).
  it('power law over units observed for different times, against a steady rate', () => {
    const fit = fitPowerLaw(valveSeats);
    if ('none' in fit) throw new Error(fit.none);
    expect(off(fit.shape, 1.3995793)).toBeLessThan(1e-4);
    expect(off(fit.scale, 553.643)).toBeLessThan(1e-4);
    expect(off(fit.logLikelihood, -346.490299)).toBeLessThan(1e-6);
    expect(off(fit.shapeError, 0.200499)).toBeLessThan(1e-4);
    for (const [age, mean] of [
      [200, 0.2404951],
      [400, 0.6344854],
      [600, 1.1191165],
    ] as const) {
      expect(off((age / fit.scale) ** fit.shape, mean)).toBeLessThan(1e-4);
    }
    expect(off(fit.steady.logLikelihood, -348.952593)).toBeLessThan(1e-6);
    expect(off(fit.steady.eventsPerUnitAge, 0.001892521)).toBeLessThan(1e-6);
    expect(off(fit.trend.statistic, 4.92459)).toBeLessThan(1e-4);
    expect(Math.abs(fit.trend.pValue - 0.0265)).toBeLessThan(5e-5);
  });

  it('log-linear process', () => {
    const fit = fitLogLinear(valveSeats);
    if ('none' in fit) throw new Error(fit.none);
    expect(off(fit.level, -6.8323867)).toBeLessThan(1e-4);
    expect(off(fit.growth, 0.0016571883)).toBeLessThan(1e-4);
    expect(off(fit.logLikelihood, -346.776446)).toBeLessThan(1e-6);
  });

  it('trend tests: getting worse', () => {
    expect(Math.abs(laplaceTest(valveSeats)!.z - 2.378693)).toBeLessThan(1e-4);
    const ratio = logRatioTest(valveSeats)!;
    expect(Math.abs(ratio.chiSquare - 66.148354)).toBeLessThan(1e-4);
    expect(ratio.degrees).toBe(96);
    expect(Math.abs(ratio.below - 0.0086524)).toBeLessThan(1e-6);
    expect(repairTrend(valveSeats).verdict).toBe('worse');
  });
});

describe('one system of the NIST handbook', () => {
  it('Laplace, MIL-HDBK-189 (printed about 37.23) and reversals (33 of 45)', () => {
    const laplace = laplaceTest([nistSystem])!;
    expect(Math.abs(laplace.z + 1.326949)).toBeLessThan(1e-4);
    expect(Math.abs(laplace.pValue - 0.18453)).toBeLessThan(1e-4);
    const ratio = logRatioTest([nistSystem])!;
    expect(Math.abs(ratio.chiSquare - 37.228081)).toBeLessThan(1e-4);
    expect(ratio.degrees).toBe(20);
    expect(Math.abs(1 - ratio.below - 0.0109864)).toBeLessThan(1e-6);
    const between = nistSystem.events.map((at, i) => at - (nistSystem.events[i - 1] ?? 0));
    expect(between).toEqual([5, 35, 3, 132, 214, 323, 35, 48, 504, 179]);
    expect(reverseArrangements(between)).toEqual({ reversals: 33, pairs: 45 });
    expect(repairTrend([nistSystem])).toMatchObject({ verdict: 'steady', events: 10 });
  });

  // Values read in the comments of NIST's own R script for section 8.4.5.2.
  it('growth: maximum likelihood, and the handbook’s estimate with its 80 % interval', () => {
    const growth = reliabilityGrowth(nistSystem, 0.8);
    if ('none' in growth) throw new Error(growth.none);
    expect(off(growth.shape, 0.5372289)).toBeLessThan(1e-5);
    expect(off(growth.intensity, 0.1966582)).toBeLessThan(1e-5);
    expect(off(growth.meanTime, 279.2106)).toBeLessThan(1e-5);
    expect(off(growth.unbiasedShape, 0.483506)).toBeLessThan(1e-5);
    expect(off(growth.unbiasedMeanTime, 310.234)).toBeLessThan(1e-5);
    expect(off(10 / 1500 ** growth.unbiasedShape, 0.2913003)).toBeLessThan(1e-5);
    expect(off(growth.meanTimeInterval[0], 157.7138)).toBeLessThan(1e-5);
    expect(off(growth.meanTimeInterval[1], 548.5566)).toBeLessThan(1e-5);
    const fit = fitPowerLaw([nistSystem]);
    expect('none' in fit ? fit.none : off(fit.shape, growth.shape)).toBeLessThan(1e-9);
  });
});

// The handbook prints .716, .454, .0645, 15.5 (from memory).
describe('one system of MIL-HDBK-189, with a tie', () => {
  it('power law, bias, distance, tests: getting better', () => {
    const growth = reliabilityGrowth(handbookSystem);
    if ('none' in growth) throw new Error(growth.none);
    expect(off(growth.shape, 0.7163393)).toBeLessThan(1e-6);
    expect(off(growth.intensity, 0.4538419)).toBeLessThan(1e-6);
    expect(off(1 / growth.meanTime, 0.0644705)).toBeLessThan(1e-6);
    expect(off(growth.meanTime, 15.510962)).toBeLessThan(1e-6);
    expect(off(growth.unbiasedShape, 0.6898082)).toBeLessThan(1e-6);
    expect(off(growth.cramerVonMises, 0.0910611)).toBeLessThan(1e-6);
    expect(off(laplaceTest([handbookSystem])!.z, -2.318)).toBeLessThan(1e-6);
    expect(off(logRatioTest([handbookSystem])!.chiSquare, 75.383276)).toBeLessThan(1e-6);
    expect(repairTrend([handbookSystem]).verdict).toBe('better');
  });
});

describe('rates of events', () => {
  // NIST/SEMATECH e-Handbook, section 8.4.5.1: two failures in 1600 h.
  it('mean time between two failures in 1600 h', () => {
    const at80 = eventRate(2, 1600, 0.8).betweenInterval;
    const at90 = eventRate(2, 1600, 0.9).betweenInterval;
    expect(off(at80[0], 300.621)).toBeLessThan(1e-5);
    expect(off(at80[1], 3008.584)).toBeLessThan(1e-5);
    expect(off(at90[0], 254.138)).toBeLessThan(1e-5);
    expect(off(at90[1], 4502.457)).toBeLessThan(1e-5);
  });

  // Ibid.: its tables of multipliers on time / failures.
  it.each([
    [1, [0.33397, 0.25709, 0.2108, 0.17948], [4.48142, 9.49122, 19.49573, 39.49789]],
    [2, [0.4674, 0.37578, 0.31767, 0.27683], [2.42604, 3.76073, 5.62807, 8.25732]],
    [5, [0.63243, 0.5391, 0.4756, 0.42851], [1.61836, 2.05542, 2.53788, 3.07979]],
    [10, [0.73256, 0.64907, 0.58955, 0.54376], [1.37189, 1.60738, 1.84318, 2.08534]],
  ])('multipliers for %d failures at 60, 80, 90, 95 %%', (failures, lower, upper) => {
    [0.6, 0.8, 0.9, 0.95].forEach((confidence, i) => {
      const { betweenInterval } = eventRate(failures, failures, confidence);
      expect(Math.abs(betweenInterval[0] - lower[i]!)).toBeLessThan(5e-5);
      expect(Math.abs(betweenInterval[1] - upper[i]!)).toBeLessThan(5e-5);
    });
  });

  // Garwood (1936).
  it.each([
    [0, 0, 3.688879],
    [1, 0.0253178, 5.571643],
    [3, 0.6186721, 8.767273],
    [8, 3.453832, 15.763189],
    [10, 4.795389, 18.390356],
  ])('exact 95 %% interval of a count of %d', (count, low, high) => {
    const { interval } = eventRate(count, 1);
    expect(Math.abs(interval[0] - low)).toBeLessThan(1e-5);
    expect(Math.abs(interval[1] - high)).toBeLessThan(1e-5);
  });

  // Nelson, Applied Life Data Analysis (1982), table 1.1: 12 fans failed in 344,440 h.
  it('mean life of the generator fans, observation ended by time or by a failure', () => {
    const byTime = eventRate(12, 344_440);
    expect(off(byTime.between, 28_703.333)).toBeLessThan(1e-7);
    expect(off(byTime.rate * 1e6, 34.83916)).toBeLessThan(1e-6);
    expect(off(byTime.betweenInterval[0], 16_431.96)).toBeLessThan(1e-5);
    expect(off(byTime.betweenInterval[1], 55_549.69)).toBeLessThan(1e-5);
    const byFailure = eventRate(12, 344_440, 0.95, 'by-event');
    expect(off(byFailure.betweenInterval[0], 17_500.22)).toBeLessThan(1e-5);
    expect(off(byFailure.betweenInterval[1], 55_549.69)).toBeLessThan(1e-5);
  });
});
