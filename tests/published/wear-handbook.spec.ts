import {
  bearingHours,
  bearingLifeFactor,
  bearingRatingLife,
  bearingReliability,
  chainElongation,
  chainWearLimitPercent,
  channelYears,
  coverageBand,
  dangerousB10,
  minimalRepairAge,
  operationsPerYear,
  performanceLevel,
  projectChainWear,
  requiredBearingRating,
  safetyComponentLife,
  timeBand,
} from '@lintel/engine';
import { describe, expect, it } from 'vitest';
import { off } from './wearLists.js';

// Barlow & Hunter (1960), the formula from memory; the values by hand.
describe('replacement with minimal repair in between', () => {
  it.each([
    [2, 10, 3.162278],
    [3, 5, 1.357209],
    [2.5, 20, 2.818224],
  ])('shape %d, cost ratio %d', (shape, ratio, age) => {
    const answer = minimalRepairAge({ shape, scale: 1, replacementCost: ratio, repairCost: 1 });
    expect('none' in answer ? answer.none : off(answer.age, age)).toBeLessThan(1e-6);
  });

  it('none without wear-out', () => {
    expect(minimalRepairAge({ shape: 1, scale: 1, replacementCost: 2, repairCost: 1 })).toEqual({
      none: 'no-wear-out',
    });
  });
});

// ISO 281. The formula was read in several pages; the first case is theirs, the next three are arithmetic.
describe('rolling bearings', () => {
  it.each([
    ['ball', 14, 3.5, 25, 64, 42_666.67],
    ['ball', 27.6, 5, 1000, 168.196608, 2803.2768],
    ['ball', 10, 2, 500, 125, 4166.667],
    ['roller', 40, 8, 600, 213.746993, 5937.4165],
  ] as const)('%s bearing, C %d, P %d at %d rpm', (kind, rating, load, rpm, life, hours) => {
    const actual = bearingRatingLife({ kind, rating, load });
    expect(off(actual, life)).toBeLessThan(1e-6);
    expect(off(bearingHours(actual, rpm), hours)).toBeLessThan(1e-6);
  });

  // Shigley's Mechanical Engineering Design, example 11-1 (the book prints 3211 lbf, from memory).
  it('the rating that a load of 400 lbf needs for 5000 h at 1725 rpm', () => {
    const need = requiredBearingRating({ kind: 'ball', load: 400, millionRevolutions: (5000 * 1725 * 60) / 1e6 });
    expect(off(need, 3211.4175)).toBeLessThan(1e-5);
    expect(off(need, 3211)).toBeLessThan(5e-4);
  });

  // Ibid., example 11-3: load 413 lbf with an application factor of 1.2, 540 million revolutions, reliability
  // 0.99. The problem statement was read; 6689.474 follows with ln(1/R), the book's 6696 with 1 − R in its
  // place.
  it('the same with a reliability of 0.99', () => {
    const need = { kind: 'ball', load: 1.2 * 413, millionRevolutions: 540 } as const;
    expect(off(requiredBearingRating({ ...need, reliability: 0.99 }), 6689.474)).toBeLessThan(1e-5);
  });

  // Ibid., solutions manual 11-1 (8th edition, read): 2.278 kN, 540 million revolutions: 18.59 kN. The bearing with
  // 19.5 kN then lives that long with a reliability of 0.919.
  it('the same at nine in ten, and the reliability of the bearing that is chosen', () => {
    const need = requiredBearingRating({ kind: 'ball', load: 2.278, millionRevolutions: 540 });
    expect(off(need, 18.59)).toBeLessThan(0.005);
    expect(off(bearingReliability({ kind: 'ball', rating: 19.5, load: 2.278 }, 540), 0.919)).toBeLessThan(0.005);
    expect(bearingReliability({ kind: 'ball', rating: 19.5, load: 2.278 }, 1)).toBe(1);
  });

  // ISO 281:2007 table 12 (from memory), ISO 281:1990 as bearing makers print it (read).
  it.each([
    ['2007', [1, 0.64, 0.55, 0.47, 0.37, 0.25], [1, 0.63791, 0.5549, 0.46535, 0.3659, 0.24833]],
    ['1990', [1, 0.62, 0.53, 0.44, 0.33, 0.21], [1, 0.61885, 0.53147, 0.43721, 0.33252, 0.20877]],
  ] as const)('life adjustment factor, edition of %s', (edition, printed, exact) => {
    [0.9, 0.95, 0.96, 0.97, 0.98, 0.99].forEach((reliability, i) => {
      const factor = bearingLifeFactor(reliability, edition);
      expect(Math.abs(factor - exact[i]!)).toBeLessThan(1e-5);
      // Half a unit of the table's second decimal, and the table's own rounding of its 0.53 and 0.44.
      expect(Math.abs(factor - printed[i]!)).toBeLessThan(0.0051);
    });
  });
});

// Two chain makers' answers citing ASME B29.1 (read); 200/N is in percent.
describe('roller chain', () => {
  it.each([
    [17, 3],
    [66, 3],
    [67, 2.985],
    [72, 2.778],
    [90, 2.222],
    [110, 1.818],
    [120, 1.667],
  ])('wear limit with %d teeth', (teeth, percent) => {
    expect(Math.abs(chainWearLimitPercent(teeth, false) - percent)).toBeLessThan(1e-3);
    expect(chainWearLimitPercent(teeth, true)).toBe(1.5);
  });

  // A chain vendor's page (read): 24 pitches of number 80 chain measure 24.75 in instead of 24.00: replace.
  it('elongation from a measurement', () => {
    const elongation = chainElongation({ length: 24.75, pitches: 24, pitch: 1 });
    expect(Math.abs(elongation - 3.125)).toBeLessThan(1e-9);
    expect(elongation > chainWearLimitPercent(40, false)).toBe(true);
    expect(Math.abs(chainElongation({ length: 24.72, pitches: 24, pitch: 1 }) - 3)).toBeLessThan(1e-9);
  });

  // Inverse prediction after Fieller (1954): at each bound the confidence limit of the line, from R's textbook
  // formula, is the limit itself. t(0.975; 3 degrees) = 3.182446 (any table).
  it('projected cycles at the limit lie where the confidence band crosses it', () => {
    const points = [
      [20_000, 0.31],
      [60_000, 0.72],
      [110_000, 1.24],
      [150_000, 1.58],
      [200_000, 2.12],
    ].map(([cycles, elongationPercent]) => ({ cycles: cycles!, elongationPercent: elongationPercent! }));
    const answer = projectChainWear(points, 3);
    if ('none' in answer) throw new Error(answer.none);
    const [meanX, meanY] = [108_000, 1.194];
    const square = points.reduce((sum, p) => sum + (p.cycles - meanX) ** 2, 0);
    const slope = points.reduce((sum, p) => sum + (p.cycles - meanX) * (p.elongationPercent - meanY), 0) / square;
    const residual = points.reduce(
      (sum, p) => sum + (p.elongationPercent - meanY - slope * (p.cycles - meanX)) ** 2,
      0,
    );
    const band = (x: number) => 3.182446 * Math.sqrt((residual / 3) * (1 / 5 + (x - meanX) ** 2 / square));
    expect(off(meanY + slope * (answer.cyclesAtLimit - meanX), 3)).toBeLessThan(1e-9);
    const [low, high] = answer.interval;
    expect(off(meanY + slope * (low - meanX) + band(low), 3)).toBeLessThan(1e-6);
    expect(off(meanY + slope * (high - meanX) - band(high), 3)).toBeLessThan(1e-6);
    expect(low < answer.cyclesAtLimit && answer.cyclesAtLimit < high).toBe(true);
  });

  it('no projection from too little, or without wear', () => {
    const at = (cycles: number, elongationPercent: number) => ({ cycles, elongationPercent });
    expect(projectChainWear([at(0, 0), at(1000, 0.1)], 3)).toEqual({ none: 'too-few-measurements' });
    expect(projectChainWear([at(5, 0), at(5, 0.1), at(5, 0.2)], 3)).toEqual({ none: 'too-few-measurements' });
    expect(projectChainWear([at(0, 0.3), at(1000, 0.2), at(2000, 0.2)], 3)).toEqual({ none: 'not-wearing' });
    const unsure = projectChainWear([at(0, 0.3), at(1000, 0.1), at(2000, 0.4)], 3);
    expect(unsure).toMatchObject({ interval: [0, Infinity] });
  });
});

// ISO 13849-1: the formulas read in several pages, the example of annex C.4.3 and the B10_D figures from
// memory.
describe('safety components', () => {
  it('the example of annex C: a valve worked every 5 s, 16 h on 220 days a year', () => {
    const operations = operationsPerYear({ days: 220, hours: 16, cycleSeconds: 5 });
    expect(operations).toBe(2_534_400);
    const life = safetyComponentLife({ b10dCycles: 60e6, operationsPerYear: operations });
    expect(off(life.meanYears, 236.742)).toBeLessThan(1e-5);
    expect(off(life.tenthYears, 23.6742)).toBeLessThan(1e-5);
    // Printed: 2.53 million, 237 and 23.7 years. It outlives the mission time of 20 years.
    expect(life).toMatchObject({ exchangeYears: 20, beforeMissionEnds: false });
  });

  it.each([
    [20e6, 365_000, 547.945, 54.795],
    [1.3e6, 365_000, 35.616, 3.5616],
    [1e6, 365_000, 27.397, 2.7397],
    [400_000, 365_000, 10.959, 1.0959],
    [100_000, 365_000, 2.7397, 0.27397],
    [1.3e6, 36_500, 356.164, 35.616],
    [1.3e6, 547_500, 23.744, 2.3744],
  ])('B10_D of %d at %d operations a year', (b10dCycles, perYear, meanYears, tenthYears) => {
    const life = safetyComponentLife({ b10dCycles, operationsPerYear: perYear });
    expect(off(life.meanYears, meanYears)).toBeLessThan(2e-5);
    expect(off(life.tenthYears, tenthYears)).toBeLessThan(2e-5);
    expect(life.exchangeYears).toBe(Math.min(20, life.tenthYears));
    expect(life.beforeMissionEnds).toBe(tenthYears < 20);
    expect(off(life.exchangeCycles, life.exchangeYears * perYear)).toBeLessThan(1e-12);
  });

  it('half of the failures are dangerous where the share is not known (read in an industry page)', () => {
    expect(dangerousB10(1)).toBe(2);
    expect(dangerousB10(1_000_000, 1)).toBe(1_000_000);
  });

  it('parts in series (annex D)', () => {
    expect(off(channelYears([100, 50, 30]), 15.789474)).toBeLessThan(1e-7);
  });

  it('bands of time, coverage and performance (tables 5, 6 and 3, read)', () => {
    expect([2.99, 3, 9.99, 10, 29.9, 30, 100].map(timeBand)).toEqual([
      'not-acceptable',
      'low',
      'low',
      'medium',
      'medium',
      'high',
      'high',
    ]);
    expect([59.9, 60, 89.9, 90, 98.9, 99].map(coverageBand)).toEqual([
      'none',
      'low',
      'low',
      'medium',
      'medium',
      'high',
    ]);
    expect([1e-4, 1e-5, 9.9e-6, 3e-6, 2.9e-6, 1e-6, 9e-7, 1e-7, 9e-8, 1e-8, 9e-9].map(performanceLevel)).toEqual([
      'none',
      'a',
      'b',
      'b',
      'c',
      'c',
      'd',
      'd',
      'e',
      'e',
      'none',
    ]);
  });
});
