import { solveRoutes } from '@lintel/engine';
import { expect, test } from 'vitest';
import { checkPlan } from './routesChecker.js';
import { enumerateOptimum } from './routesEnumeration.js';
import type { RandomShape } from './routesRandom.js';
import { randomProblem } from './routesRandom.js';

const base: RandomShape = {
  stops: 6,
  technicians: 2,
  days: 2,
  places: 6,
  pricedPercent: 0,
  latePercent: 0,
  skilledPercent: 0,
  fixedPercent: 0,
  fixedCost: 0,
};

/** Whole numbers and eighths: both sides add up without rounding. */
const shapes: [string, RandomShape, number][] = [
  ['windows and days', base, 60],
  ['late prices', { ...base, latePercent: 70 }, 60],
  ['prices for leaving out', { ...base, pricedPercent: 80, latePercent: 30 }, 60],
  ['skills and shifts that cost', { ...base, skilledPercent: 20, fixedCost: 60, technicians: 3 }, 60],
  ['fixed stops', { ...base, fixedPercent: 25, pricedPercent: 40 }, 60],
  ['too much to do', { ...base, stops: 8, technicians: 1, days: 1, pricedPercent: 50 }, 60],
  ['eight stops, everything', { ...base, stops: 8, pricedPercent: 40, latePercent: 40, fixedCost: 40, skilledPercent: 10 }, 60],
];

test.each(shapes)('%s: as cheap as the best of all plans', (_, shape, count) => {
  let compared = 0;
  for (let seed = 1; seed <= count; seed++) {
    const problem = randomProblem(seed, shape);
    const optimum = enumerateOptimum(problem);
    const found = solveRoutes(problem, { seed, budget: { iterations: 30_000 } });
    if (optimum === null) {
      expect('faults' in found && found.faults[0]?.code, `seed ${seed}`).toBe('fixed-cannot-be-kept');
      continue;
    }
    if ('faults' in found) throw new Error(`seed ${seed}: ${JSON.stringify(found.faults)}`);
    const must = found.unserved.filter(
      ({ id }) => problem.stops.find((stop) => stop.id === id)!.unservedPrice === undefined,
    );
    expect(checkPlan(problem, found), `seed ${seed}`).toEqual([]);
    expect({ mustUnserved: must.length, cost: found.cost }, `seed ${seed}`).toEqual(optimum);
    compared++;
  }
  expect(compared).toBeGreaterThan(count / 2);
});
