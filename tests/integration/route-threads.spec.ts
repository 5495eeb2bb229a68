import type { SolveProgress, SolveTask } from '@lintel/store';
import { describe, expect, test } from 'vitest';
import { solveInThreads, together } from '../../apps/worker/src/routes/solveInThreads.js';
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

  describe('by what each of them tells', () => {
    const file = new URL('../support/toldThread.mjs', import.meta.url);
    const planOf = (cost: number, iterations = 10) => ({ cost, travel: cost, unserved: [], routes: [], iterations });
    const done = (cost: number, iterations = 10) => ({ done: planOf(cost, iterations) });
    const faulty = { done: { faults: [{ path: ['stops', 4, 'fixed'], code: 'fixed-cannot-be-kept', facts: { id: 'four' } }] } };
    const gather = async (threads: { tells: unknown[]; dies?: boolean }[], seen: SolveProgress[] = []) =>
      solveInThreads({ problem: { threads } as never, start: [], seed: 0, seconds: 1 }, threads.length, async (progress) => {
        seen.push(progress);
        return 'go-on';
      }, file);

    test('the cheapest of all is taken, wherever it comes from', async () => {
      for (const costs of [[1, 2, 3], [3, 1, 2], [2, 3, 1]]) {
        expect(await gather(costs.map((cost) => ({ tells: [done(cost, 100 * cost)] })))).toEqual(planOf(1, 600));
      }
    });

    test('progress has the cheapest plan so far, the slowest one’s part of the time, and the iterations of all that were heard', async () => {
      const tell = (fraction: number, iterations: number, cost: number) => ({ fraction, iterations, best: planOf(cost) });
      expect(together([tell(0.5, 7, 30), undefined, tell(0.4, 5, 20), tell(0.6, 1, 25)])).toEqual(tell(0.4, 13, 20));
      const seen: SolveProgress[] = [];
      await gather([{ tells: [tell(0.5, 7, 30), done(9)] }, { tells: [done(8)] }], seen);
      expect(seen).toEqual([tell(0.5, 7, 30)]);
    });

    test('a plan of one counts, where another cannot keep what is fixed; where none can, the field is named', async () => {
      expect((await gather([{ tells: [faulty] }, { tells: [done(5)] }])).cost).toBe(5);
      await expect(gather([{ tells: [faulty] }, { tells: [faulty] }])).rejects.toThrow(/^stops\.4\.fixed /);
    });

    test('where one dies, all end and it is said', async () => {
      await expect(gather([{ tells: [done(5)] }, { tells: [], dies: true }])).rejects.toThrow('ended with 3');
    });
  });
});
