import type { SolveProgress, SolveTask } from '@lintel/store';
import { describe, expect, test } from 'vitest';
import { solveInThreads } from '../../apps/worker/src/routes/solveInThreads.js';
import { checkPlan } from '../engine/routesChecker.js';
import { randomProblem } from '../engine/routesRandom.js';

/** More work than hours, so that searches with different seeds end apart; every stop may be left out at a price. */
const problem = randomProblem(3, { stops: 150, technicians: 5, days: 4, places: 40, pricedPercent: 100, latePercent: 20, skilledPercent: 10, fixedPercent: 0, fixedCost: 30 });
const task = (more: Partial<SolveTask> = {}): SolveTask => ({ problem, start: [], seed: 5, seconds: 4, ...more });

describe('searches beside each other', () => {
  test('the cheapest plan is told and taken, with the iterations of all', async () => {
    const told: SolveProgress[] = [];
    const plan = await solveInThreads(task(), 3, async (progress) => {
      told.push(progress);
      return 'go-on';
    });
    expect(checkPlan(problem, plan)).toEqual([]);
    expect(told.length).toBeGreaterThan(0);
    const costs = [...told.map(({ best }) => best.cost), plan.cost];
    const iterations = [...told.map((one) => one.iterations), plan.iterations];
    for (let at = 1; at < costs.length; at++) {
      expect(costs[at]!).toBeLessThanOrEqual(costs[at - 1]! + 1e-6);
      expect(iterations[at]!).toBeGreaterThan(iterations[at - 1]!);
    }
    for (const { fraction } of told) expect(fraction).toBeLessThan(1);
  });

  test('all stop when asked, and the best so far is kept', async () => {
    let asked = 0;
    const plan = await solveInThreads(task({ seconds: 3600 }), 2, async ({ best }) => {
      asked++;
      expect(checkPlan(problem, best)).toEqual([]);
      return 'stop';
    });
    expect(asked).toBeGreaterThan(0);
    expect(checkPlan(problem, plan)).toEqual([]);
    expect(plan.routes.length).toBeGreaterThan(0);
  });

  test('what is wrong with a problem is said once, by its field', async () => {
    const stops = problem.stops.map((stop, index) => (index === 7 ? { ...stop, place: 999 } : stop));
    await expect(solveInThreads(task({ problem: { ...problem, stops } }), 2, async () => 'go-on')).rejects.toThrow(/^stops\.7\.place /);
  });
});
