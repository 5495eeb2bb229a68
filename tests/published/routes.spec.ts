import { pricePlan, solveRoutes } from '@lintel/engine';
import type { RouteProblem, RouteSolution } from '@lintel/engine';
import { expect, test } from 'vitest';
import { checkPlan } from '../engine/routesChecker.js';
import { augeratN32K5, c101First25, r101First25, rc101First25 } from './routesInstances.js';
import type { SolomonRow } from './routesInstances.js';

/**
 * The convention of exact methods: distance and travel time truncated to one decimal, least distance whatever the number
 * of vehicles (N. Kohl et al., 2-Path Cuts for the Vehicle Routing Problem with Time Windows, Transportation Science 33(1),
 * 1999, for the 25-customer instances; convention as in the literature on exact methods).
 */
function solomonProblem(rows: readonly SolomonRow[], vehicles: number): RouteProblem {
  const [depot, ...customers] = rows;
  return {
    travelMinutes: rows.map(([x, y]) =>
      rows.map(([otherX, otherY]) => Math.floor(10 * Math.hypot(x - otherX, y - otherY)) / 10),
    ),
    technicians: Array.from({ length: vehicles }, (_, index) => ({
      id: `vehicle ${index + 1}`,
      home: 0,
      skills: [],
      capacity: [200],
      shifts: [{ from: depot![3], to: depot![4] }],
    })),
    stops: customers.map(([, , demand, ready, due, service], index) => ({
      id: String(index + 1),
      place: index + 1,
      minutes: service,
      skills: [],
      load: [demand],
      windows: [{ from: ready, to: due }],
    })),
  };
}

function solved(problem: RouteProblem, iterations: number, seed: number): RouteSolution {
  const solution = solveRoutes(problem, { seed, budget: { iterations } });
  if ('faults' in solution) throw new Error(JSON.stringify(solution.faults));
  expect(checkPlan(problem, solution)).toEqual([]);
  return solution;
}

/** Optimal values proved by enumerating every feasible route and partitioning the customers among them (HiGHS). */
test.each([
  ['C101.25', c101First25, 191.3, 3],
  ['R101.25', r101First25, 617.1, 8],
  ['RC101.25', rc101First25, 461.1, 4],
] as const)('%s: the proved optimum', (_, rows, distance, vehicles) => {
  for (const seed of [1, 2, 3]) {
    const solution = solved(solomonProblem(rows, 25), 10_000, seed);
    expect(solution.unserved).toEqual([]);
    expect(solution.cost).toBeCloseTo(distance, 6);
    expect(solution.travel).toBeCloseTo(distance, 6);
    expect(solution.routes).toHaveLength(vehicles);
  }
});

/** One of the optimal route sets, with the length of each route (there are ties). */
test('R101.25: the routes of an optimum as drawn by hand, the length of each, and the search starting there', () => {
  const problem = solomonProblem(r101First25, 25);
  const optimal: [string, number][] = [
    ['12-9-20-1', 83.1],
    ['11-19-10', 80.9],
    ['7-8-17', 77.7],
    ['2-21-3-24-25', 117.9],
    ['18', 31.6],
    ['14-15-13', 78.9],
    ['5-16-6', 60.8],
    ['23-22-4', 86.2],
  ];
  const plan = optimal.map(([stops], index) => ({
    technician: `vehicle ${index + 1}`,
    shift: 0,
    stops: stops.split('-'),
  }));
  const priced = pricePlan(problem, plan);
  if ('faults' in priced) throw new Error(JSON.stringify(priced.faults));
  expect(priced.breaches).toEqual([]);
  expect(priced.unserved).toEqual([]);
  expect(priced.cost).toBeCloseTo(617.1, 6);
  priced.routes.forEach((route, index) => {
    // A route's own length: its end less waiting and service, as travel takes as long as it is far.
    const waiting = route.stops.reduce((sum, stop) => sum + stop.start - stop.arrive, 0);
    expect(route.end - waiting - 10 * route.stops.length, optimal[index]![0]).toBeCloseTo(optimal[index]![1], 6);
  });
  const again = solveRoutes(problem, { seed: 1, budget: { iterations: 2_000 }, start: plan });
  expect('cost' in again && again.cost).toBeCloseTo(617.1, 6);
});

test('A-n32-k5: the optimum 784 with 5 vehicles', () => {
  const problem: RouteProblem = {
    travelMinutes: augeratN32K5.map(([x, y]) =>
      augeratN32K5.map(([otherX, otherY]) => Math.round(Math.hypot(x - otherX, y - otherY))),
    ),
    technicians: Array.from({ length: 5 }, (_, index) => ({
      id: `vehicle ${index + 1}`,
      home: 0,
      skills: [],
      capacity: [100],
      shifts: [{ from: 0, to: 10_000 }],
    })),
    stops: augeratN32K5.slice(1).map(([, , demand], index) => ({
      id: String(index + 1),
      place: index + 1,
      minutes: 0,
      skills: [],
      load: [demand],
      windows: [],
    })),
  };
  const solution = solved(problem, 60_000, 1);
  expect(solution.unserved).toEqual([]);
  expect(solution.cost).toBe(784);
  expect(solution.routes).toHaveLength(5);
});
