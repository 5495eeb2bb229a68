import { checkRouteProblem, pricePlan, routeSlices, solveRoutes } from '@lintel/engine';
import type { PlannedRoute, RouteProblem, RouteSolution, RouteStop } from '@lintel/engine';
import { describe, expect, test } from 'vitest';
import { legsOfStarts } from '../../packages/engine/src/routes/annealingLegs.js';
import { buildRouteModel } from '../../packages/engine/src/routes/buildRouteModel.js';
import { RouteSearch } from '../../packages/engine/src/routes/routeSearch.js';
import { writePlan } from '../../packages/engine/src/routes/writePlan.js';
import { checkPlan } from './routesChecker.js';
import type { RandomShape } from './routesRandom.js';
import { draws, randomProblem } from './routesRandom.js';

const shape: RandomShape = {
  stops: 30,
  technicians: 3,
  days: 3,
  places: 20,
  pricedPercent: 50,
  latePercent: 40,
  skilledPercent: 15,
  fixedPercent: 5,
  fixedCost: 30,
};
/** Enough stops on days that all differ: the search then also inserts by regret. */
const manyShape: RandomShape = { ...shape, stops: 70, technicians: 5, days: 4, fixedPercent: 2 };
/** More stops still, on priced days: the search starts afresh several times. */
const startsShape: RandomShape = { ...shape, stops: 201, technicians: 8, days: 5, places: 40, latePercent: 0, fixedPercent: 0 };

function solvableOf(drawn: RandomShape, count: number): { seed: number; problem: RouteProblem }[] {
  return Array.from({ length: count }, (_, seed) => ({ seed, problem: randomProblem(seed, drawn) })).filter(
    ({ problem, seed }) => !('faults' in solveRoutes(problem, { seed, budget: { iterations: 300 } })),
  );
}

function solve(
  problem: RouteProblem,
  seed: number,
  iterations: number,
  start?: readonly PlannedRoute[],
): RouteSolution {
  const solution = solveRoutes(problem, { seed, budget: { iterations }, ...(start ? { start } : {}) });
  if ('faults' in solution) throw new Error(JSON.stringify(solution.faults));
  return solution;
}

/** One technician at place 0, one shift of 100 minutes, places 10 minutes apart. */
function oneDay(stops: Partial<RouteStop>[], technician: Partial<RouteProblem['technicians'][number]> = {}): RouteProblem {
  return {
    travelMinutes: [0, 1, 2].map((from) => [0, 1, 2].map((to) => (from === to ? 0 : 10))),
    technicians: [{ id: 'ada', home: 0, skills: ['mains'], shifts: [{ from: 0, to: 100 }], ...technician }],
    stops: stops.map((stop, index) => ({ id: `s${index}`, place: 1, minutes: 10, skills: [], windows: [], ...stop })),
  };
}

function must(problem: RouteProblem, plan: Pick<RouteSolution, 'unserved'>): number {
  const priced = new Set(problem.stops.filter((stop) => stop.unservedPrice !== undefined).map(({ id }) => id));
  return plan.unserved.filter(({ id }) => !priced.has(id)).length;
}

describe('properties on random problems', () => {
  const solvable = solvableOf(shape, 100);
  const many = solvableOf(manyShape, 30);

  test('enough of the drawn problems can keep their fixed stops', () => {
    expect(solvable.length).toBeGreaterThan(30);
    expect(many.length).toBeGreaterThan(10);
  });

  test('every plan printed can be driven and costs what it says, fixed stops where they were', () => {
    for (const { seed, problem } of [...solvable, ...many]) {
      const fixed = problem.stops.filter((stop) => stop.fixed);
      const plan = solve(problem, seed, 1500);
      expect(checkPlan(problem, plan), `seed ${seed}`).toEqual([]);
      for (const stop of fixed) {
        const home = plan.routes.find(({ stops }) => stops.some(({ id }) => id === stop.id));
        expect({ technician: home?.technician, shift: home?.shift }).toEqual(stop.fixed);
      }
    }
  });

  test('the same for equal seeds and iterations, however it is sliced and whoever looks on', () => {
    for (const { seed, problem } of solvable.slice(0, 10)) {
      const plan = solve(problem, seed, 1000);
      const sliced = solveRoutes(problem, {
        seed,
        budget: { iterations: 1000 },
        sliceIterations: 37,
        onProgress: (progress) => void progress.best(),
      });
      expect(sliced).toEqual(plan);
      expect(plan.iterations).toBe(1000);
    }
    const { problem } = solvable[0]!;
    const different = [1, 2, 3, 4, 5, 6].map((seed) => JSON.stringify(solve(problem, seed, 50)));
    expect(new Set(different).size).toBeGreaterThan(1);
  });

  test('never worse than the plan it starts from, nor than an earlier look', () => {
    for (const { seed, problem } of solvable) {
      const start = solve(problem, seed + 1000, 2000);
      const routes = start.routes.map(({ technician, shift, stops }) => ({
        technician,
        shift,
        stops: stops.map(({ id }) => id),
      }));
      for (const iterations of [0, 5, 200]) {
        const plan = solve(problem, seed, iterations, routes);
        expect(must(problem, plan), `seed ${seed}`).toBeLessThanOrEqual(must(problem, start));
        if (must(problem, plan) === must(problem, start)) expect(plan.cost).toBeLessThanOrEqual(start.cost + 1e-9);
      }
      let last = Infinity;
      for (const progress of routeSlices(problem, { seed, budget: { iterations: 600 }, sliceIterations: 60 })) {
        const best = progress.best();
        if ('faults' in best) continue;
        const rank = must(problem, best) * 1e6 + best.cost;
        expect(rank).toBeLessThanOrEqual(last + 1e-6);
        last = rank;
      }
    }
  });

  test('a plan priced by hand costs what the search says', () => {
    for (const { seed, problem } of solvable) {
      const plan = solve(problem, seed, 200);
      const routes = plan.routes.map((route) => ({ ...route, stops: route.stops.map(({ id }) => id) }));
      const priced = pricePlan(problem, routes);
      if ('faults' in priced) throw new Error(JSON.stringify(priced.faults));
      expect(priced.breaches).toEqual([]);
      expect(priced.cost).toBeCloseTo(plan.cost, 6);
      expect(priced.routes).toEqual(plan.routes);
    }
  });
});

describe('several starts', () => {
  test('the legs share out the budget: more starts with a larger one, the best of them to its end', () => {
    for (const perStop of [0, 1, 250, 319, 320, 1000, 20_000]) {
      const legs = legsOfStarts(perStop);
      const ends = legs.map(({ until }) => until);
      expect(ends).toEqual(ends.toSorted((one, other) => one - other));
      expect(ends.at(-1)).toBe(1);
      expect(legs.every(({ hottest, coldest }) => hottest > coldest && coldest > 0)).toBe(true);
      expect(legs.map(({ fromBest }) => fromBest)).toEqual(legs.map((_, index) => index > 0 && index === legs.length - 1));
    }
    expect([0, 250, 319, 320, 1000, 20_000].map((perStop) => legsOfStarts(perStop).length)).toEqual([1, 1, 1, 3, 7, 126]);
  });

  test('the plan can be driven, is the same however it is sliced, and no worse than the one it starts from', () => {
    const drawn = randomProblem(1, startsShape);
    const daysPriced = drawn.technicians.flatMap(({ id, shifts }) => shifts.map((_, shift) => ({ technician: id, shift, price: 10 * shift })));
    const problem = { ...drawn, stops: drawn.stops.map((stop) => ({ ...stop, windows: [], load: [0, 0], shiftPrices: daysPriced })) };
    const model = buildRouteModel(problem);
    // A clock that runs faster once the search has seen how many iterations there seem to be room for: enough for four starts.
    const fractionAt = (iterations: number): number => (iterations <= 2048 ? (0.02 * iterations) / 2048 : 0.02 + (iterations - 2048) / 2000);
    const search = (slices: number[], start?: number[][]): RouteSolution => {
      const search = new RouteSearch(model, 1, start);
      for (const slice of slices) search.step(slice, fractionAt);
      return { ...writePlan(search.bestState()), iterations: search.iterations };
    };
    const plan = search([4096]);
    expect(checkPlan(problem, plan)).toEqual([]);
    expect(search([100, 1948, 2048])).toEqual(plan);
    // Better than what any leg of the search below finds: were it overwritten by the best of a leg, the answer would be dearer.
    const better = new RouteSearch(model, 2);
    better.step(12_000, (iterations) => iterations / 12_000);
    const good = writePlan(better.bestState());
    expect(good.cost).toBeLessThan(plan.cost);
    const start = problem.technicians.flatMap(({ id, shifts }) =>
      shifts.map((_, shift) => good.routes.find((route) => route.technician === id && route.shift === shift)?.stops.map((stop) => problem.stops.findIndex((one) => one.id === stop.id)) ?? []),
    );
    const again = search([4096], start);
    expect(must(problem, again)).toBeLessThanOrEqual(must(problem, good));
    if (must(problem, again) === must(problem, good)) expect(again.cost).toBeLessThanOrEqual(good.cost + 1e-9);
  });
});

test('the checker finds what is wrong with a plan', () => {
  const problem = oneDay([
    { windows: [{ from: 20, to: 30 }], load: [3] },
    { place: 2, skills: ['mains'], latePrice: { after: 40, perMinute: 2 }, load: [3] },
    { fixed: { technician: 'ada', shift: 0 } },
  ], { capacity: [6] });
  const plan = solve(problem, 1, 200);
  expect(checkPlan(problem, plan)).toEqual([]);
  const spoil = (change: (copy: RouteSolution) => void): string[] => {
    const copy = structuredClone(plan);
    change(copy);
    return checkPlan(problem, copy);
  };
  const first = (copy: RouteSolution) => copy.routes[0]!.stops[0]!;
  expect(spoil((copy) => copy.routes[0]!.stops.pop())).toContainEqual(expect.stringContaining('lost'));
  expect(spoil((copy) => copy.routes[0]!.stops.push(first(copy)))).toContainEqual(expect.stringContaining('served by'));
  expect(spoil((copy) => (copy.cost += 1))).toContainEqual(expect.stringContaining('cost is'));
  expect(spoil((copy) => (copy.travel -= 1))).toContainEqual(expect.stringContaining('travel is'));
  expect(spoil((copy) => (first(copy).arrive -= 1))).toContainEqual(expect.stringContaining('too soon'));
  expect(spoil((copy) => (first(copy).start = first(copy).arrive - 1))).toContainEqual(expect.stringContaining('before arrival'));
  expect(spoil((copy) => (copy.routes[0]!.end = 101))).toContainEqual(expect.stringContaining('ends at'));
  const narrow = (part: object): string[] => checkPlan({ ...problem, ...part }, plan);
  expect(narrow({ technicians: [{ ...problem.technicians[0]!, skills: [] }] })).toContainEqual(expect.stringContaining('skills'));
  expect(narrow({ technicians: [{ ...problem.technicians[0]!, capacity: [5] }] })).toContainEqual(expect.stringContaining('carries'));
  const closed = problem.stops.map((stop) => ({ ...stop, windows: [{ from: 90, to: 91 }] }));
  expect(narrow({ stops: closed })).toContainEqual(expect.stringContaining('outside its windows'));
});

describe('why a stop is not served', () => {
  const reasons = (problem: RouteProblem): Record<string, string> =>
    Object.fromEntries(solve(problem, 1, 300).unserved.map(({ id, reason }) => [id, reason]));

  test('nobody has the skills', () => {
    expect(reasons(oneDay([{ skills: ['ammonia'] }, {}]))).toEqual({ s0: 'no-skill' });
  });
  test('it fits into no van, or into none that is left', () => {
    expect(reasons(oneDay([{ load: [5] }], { capacity: [4] }))).toEqual({ s0: 'load' });
    const full = oneDay([{ load: [3], unservedPrice: 1000 }, { load: [2], unservedPrice: 500 }], { capacity: [4] });
    expect(reasons(full)).toEqual({ s1: 'load' });
  });
  test('no shift has the time, alone or beside the others', () => {
    expect(reasons(oneDay([{ minutes: 81 }]))).toEqual({ s0: 'no-hours' });
    expect(reasons(oneDay([{ minutes: 80 }]))).toEqual({});
    expect(reasons(oneDay([{ minutes: 50, unservedPrice: 1000 }, { minutes: 50, unservedPrice: 900 }]))).toEqual({ s1: 'no-hours' });
    expect(reasons(oneDay([{}], { shifts: [] }))).toEqual({ s0: 'no-hours' });
  });
  test('the windows', () => {
    expect(reasons(oneDay([{ windows: [{ from: 200, to: 300 }] }]))).toEqual({ s0: 'window' });
    expect(reasons(oneDay([{ windows: [{ from: 0, to: 9 }] }]))).toEqual({ s0: 'window' });
    const both = [
      { windows: [{ from: 20, to: 20 }], minutes: 20, unservedPrice: 1000 },
      { windows: [{ from: 25, to: 30 }], place: 2, unservedPrice: 900 },
    ];
    expect(reasons(oneDay(both))).toEqual({ s1: 'window' });
  });
  test('the price', () => {
    expect(reasons(oneDay([{ unservedPrice: 19 }]))).toEqual({ s0: 'price' });
    expect(reasons(oneDay([{ unservedPrice: 21 }]))).toEqual({});
    expect(reasons(oneDay([{ unservedPrice: 21 }], { fixedCost: 2 }))).toEqual({ s0: 'price' });
    // Together they are worth the trip, though neither is alone.
    expect(reasons(oneDay([{ unservedPrice: 15 }, { unservedPrice: 15 }]))).toEqual({});
  });
});

describe('what the schedule does', () => {
  test('decimals add up exactly: 10.1 + 32.2 is in time for 42.3', () => {
    const problem: RouteProblem = {
      travelMinutes: [[0, 10.1, 5], [5, 0, 32.2], [5, 5, 0]],
      technicians: [{ id: 'ada', home: 0, skills: [], shifts: [{ from: 0, to: 60 }] }],
      stops: [
        { id: 'a', place: 1, minutes: 0, skills: [], windows: [{ from: 0, to: 10.1 }] },
        { id: 'b', place: 2, minutes: 0, skills: [], windows: [{ from: 42.3, to: 42.3 }] },
      ],
    };
    expect(10.1 + 32.2).toBeGreaterThan(42.3);
    const plan = solve(problem, 1, 50);
    expect(plan.unserved).toEqual([]);
    expect(plan.routes[0]?.stops[1]).toEqual({ id: 'b', arrive: 42.3, start: 42.3, leave: 42.3 });
  });

  test('times before the start of the horizon and irrational ones', () => {
    const problem = oneDay([{ windows: [{ from: -Math.PI, to: -1 }], minutes: Math.SQRT2 }], {
      shifts: [{ from: -50, to: 50 }],
    });
    const plan = solve(problem, 1, 50);
    expect(plan.routes[0]?.stops[0]?.start).toBe(-Math.PI);
    expect(plan.routes[0]?.end).toBe(-Math.PI + Math.SQRT2 + 10);
  });

  test('several windows: waits for the next one, on the next day if need be', () => {
    const problem = oneDay([{ windows: [{ from: 0, to: 5 }, { from: 40, to: 50 }, { from: 45, to: 60 }] }, { windows: [{ from: 1020, to: 1030 }] }], {
      shifts: [{ from: 0, to: 100 }, { from: 1000, to: 1100 }],
    });
    const plan = solve(problem, 1, 50);
    expect(plan.routes).toEqual([
      { technician: 'ada', shift: 0, stops: [{ id: 's0', arrive: 10, start: 40, leave: 50 }], end: 60 },
      { technician: 'ada', shift: 1, stops: [{ id: 's1', arrive: 1010, start: 1020, leave: 1030 }], end: 1040 },
    ]);
  });

  test('lateness is priced from the start of service on, and moves the dear stop first', () => {
    const stops = [
      { place: 1, latePrice: { after: 10, perMinute: 1 } },
      { place: 2, latePrice: { after: 10, perMinute: 3 } },
    ];
    const plan = solve(oneDay(stops), 1, 100);
    expect(plan.routes[0]?.stops.map(({ id }) => id)).toEqual(['s1', 's0']);
    // Starts at 10 and 30: twenty minutes late at 1 each, three times ten minutes of travel.
    expect(plan).toMatchObject({ cost: 50, travel: 30 });
  });

  test('one shift instead of two where shifts cost', () => {
    const far = [{ place: 1 }, { place: 2 }];
    const twoHomes: RouteProblem = {
      ...oneDay(far),
      technicians: ['ada', 'ben'].map((id, home) => ({ id, home: home + 1, skills: [], shifts: [{ from: 0, to: 100 }], fixedCost: 21 })),
    };
    expect(solve(twoHomes, 1, 200).routes).toHaveLength(1);
    const free = { ...twoHomes, technicians: twoHomes.technicians.map((technician) => ({ ...technician, fixedCost: 0 })) };
    expect(solve(free, 1, 200).routes).toHaveLength(2);
  });

  test('a dear detour stays where the way home without it is too long', () => {
    const problem: RouteProblem = {
      travelMinutes: [[0, 10, 10], [60, 0, 10], [10, 10, 0]],
      travelCost: [[0, 1, 90], [1, 0, 90], [90, 90, 0]],
      technicians: [{ id: 'ada', home: 0, skills: [], shifts: [{ from: 0, to: 60 }] }],
      stops: [
        { id: 'far', place: 1, minutes: 10, skills: [], windows: [] },
        { id: 'on the way', place: 2, minutes: 10, skills: [], windows: [], unservedPrice: 5 },
      ],
    };
    const start = [{ technician: 'ada', shift: 0, stops: ['far', 'on the way'] }];
    const plan = solve(problem, 1, 500, start);
    expect(checkPlan(problem, plan)).toEqual([]);
    expect(plan).toMatchObject({ cost: 181, unserved: [] });
  });

  test('a price on a shift is paid or avoided', () => {
    const shifts = [{ from: 0, to: 100 }, { from: 1000, to: 1100 }];
    const priced = oneDay([{ shiftPrices: [{ technician: 'ada', shift: 0, price: 5 }] }], { shifts });
    expect(solve(priced, 1, 50).routes[0]?.shift).toBe(1);
    const held = oneDay([{ shiftPrices: [{ technician: 'ada', shift: 0, price: 5 }], fixed: { technician: 'ada', shift: 0 } }], { shifts });
    expect(solve(held, 1, 50)).toMatchObject({ cost: 25, routes: [{ shift: 0 }] });
  });
});

test('a search can be stopped between slices, and by the clock of the caller', () => {
  const problem = randomProblem(3, { ...shape, fixedPercent: 0 });
  let asked = 0;
  const stopped = solveRoutes(problem, { seed: 1, budget: { iterations: 1e9 }, cancelled: () => ++asked === 3 });
  if ('faults' in stopped) throw new Error(JSON.stringify(stopped.faults));
  expect(stopped.iterations).toBe(3 * 128);
  expect(checkPlan(problem, stopped)).toEqual([]);
  let clockMs = 5000;
  const fractions: number[] = [];
  const timed = solveRoutes(problem, {
    seed: 1,
    budget: { seconds: 2, nowMs: () => (clockMs += 100) },
    onProgress: ({ fraction }) => fractions.push(fraction),
  });
  if ('faults' in timed) throw new Error(JSON.stringify(timed.faults));
  expect(fractions.at(-1)).toBe(1);
  expect(fractions).toEqual([...fractions].sort((one, other) => one - other));
  expect(timed.iterations).toBe(fractions.length * 128);
});

test('nothing to do, and nobody to do it', () => {
  const empty = { travelMinutes: [], technicians: [], stops: [] };
  expect(solve(empty, 1, 100)).toEqual({ cost: 0, travel: 0, unserved: [], routes: [], iterations: 0 });
  const nobody = { ...oneDay([{ unservedPrice: 7 }]), technicians: [] };
  expect(solve(nobody, 1, 100)).toMatchObject({ cost: 7, unserved: [{ id: 's0', reason: 'no-skill' }] });
});

test('a fixed stop that cannot be kept is named', () => {
  const problem = oneDay([{}, { minutes: 90, fixed: { technician: 'ada', shift: 0 } }]);
  expect(solveRoutes(problem, { seed: 1, budget: { iterations: 100 } })).toEqual({
    faults: [{ path: ['stops', 1, 'fixed'], code: 'fixed-cannot-be-kept', facts: { id: 's1' } }],
  });
});

test('faults name their field', () => {
  const found = (problem: RouteProblem): [string, string][] =>
    checkRouteProblem(problem).map(({ path, code }) => [path.join('.'), code]);
  expect(found(oneDay([{}]))).toEqual([]);
  expect(found({ ...oneDay([]), travelMinutes: [[0, 1, 2], [1, 0], [1, 1, -1]] })).toEqual([
    ['travelMinutes.1', 'not-square'],
    ['travelMinutes.2.2', 'negative'],
  ]);
  expect(found({ ...oneDay([]), travelCost: [[0]] })).toEqual([
    ['travelCost', 'not-square'],
    ['travelCost.0', 'not-square'],
  ]);
  expect(found(oneDay([{ place: 3 }, { place: 0.5 }, { minutes: NaN }]))).toEqual([
    ['stops.0.place', 'no-such-place'],
    ['stops.1.place', 'no-such-place'],
    ['stops.2.minutes', 'not-finite'],
  ]);
  expect(found(oneDay([{}, { id: 's0' }, { windows: [{ from: 2, to: 1 }] }]))).toEqual([
    ['stops.1.id', 'duplicate-id'],
    ['stops.2.windows.0.from', 'from-after-to'],
  ]);
  expect(found(oneDay([{ load: [1] }], { capacity: [1, 2], home: -1, fixedCost: Infinity }))).toEqual([
    ['technicians.0.home', 'no-such-place'],
    ['technicians.0.fixedCost', 'not-finite'],
    ['stops.0.load', 'length-differs'],
  ]);
  const elsewhere = { technician: 'eve', shift: 0 };
  expect(found(oneDay([{ fixed: elsewhere }, { shiftPrices: [{ technician: 'ada', shift: 1, price: -1 }] }]))).toEqual([
    ['stops.0.fixed.technician', 'no-such-technician'],
    ['stops.1.shiftPrices.0.shift', 'no-such-shift'],
    ['stops.1.shiftPrices.0.price', 'negative'],
  ]);
});

test('a plan drawn by hand is priced as it stands, with what it breaks', () => {
  const problem = oneDay(
    [{ skills: ['ammonia'], load: [2] }, { windows: [{ from: 0, to: 15 }], load: [2] }, { minutes: 70 }, { unservedPrice: 4 }],
    { capacity: [3] },
  );
  const priced = pricePlan(problem, [{ technician: 'ada', shift: 0, stops: ['s0', 's1', 's2'] }]);
  expect(priced).toMatchObject({ cost: 24, travel: 20, unserved: ['s3'] });
  expect('breaches' in priced && priced.breaches).toEqual([
    { kind: 'window', technician: 'ada', shift: 0, excess: 5, stop: 's1' },
    { kind: 'hours', technician: 'ada', shift: 0, excess: 10 },
    { kind: 'skill', technician: 'ada', shift: 0, excess: 1, stop: 's0' },
    { kind: 'load', technician: 'ada', shift: 0, excess: 1 },
  ]);
  expect(pricePlan(problem, [{ technician: 'ada', shift: 0, stops: ['s0', 's0', 'x'] }, { technician: 'ada', shift: 1, stops: [] }])).toMatchObject({
    faults: [{ code: 'duplicate-id' }, { code: 'no-such-stop' }, { code: 'no-such-shift' }],
  });
});

test('a house too full: prices decide, and the rest is named', () => {
  const draw = draws(11);
  const stops = Array.from({ length: 60 }, () => ({ place: draw(3), minutes: 20, unservedPrice: 50 + draw(100) }));
  const problem = oneDay(stops);
  const plan = solve(problem, 1, 3000);
  expect(checkPlan(problem, plan)).toEqual([]);
  // Four stops of 20 minutes fill the shift when a trip of 20 is in it, five when all are at home; the dearest go in.
  const served = plan.routes[0]!.stops.length;
  expect(served).toBeGreaterThanOrEqual(4);
  expect(plan.unserved.every(({ reason }) => reason === 'no-hours' || reason === 'price')).toBe(true);
  expect(plan.unserved).toHaveLength(60 - served);
});

test('the unit of the annealing temperature grows with what a day more costs, by time or by shift, up to the price of leaving out', () => {
  const unit = (perShift: number, more: Partial<RouteStop> = {}): number => {
    const shiftPrices = [0, 1, 2].map((shift) => ({ technician: 'ada', shift, price: shift * perShift }));
    const stops = [1, 2].map((place) => ({ id: `s${place}`, place, minutes: 10, skills: [], windows: [], shiftPrices, ...more }));
    const problem: RouteProblem = {
      travelMinutes: [[0, 10, 10], [10, 0, 10], [10, 10, 0]],
      technicians: [{ id: 'ada', home: 0, skills: [], shifts: [0, 1, 2].map((day) => ({ from: day * 1440, to: day * 1440 + 480 })) }],
      stops,
    };
    expect(checkRouteProblem(problem)).toEqual([]);
    return buildRouteModel(problem).costUnit;
  };
  expect(unit(0)).toBe(10);
  // Half of a day's price: 0.5 · 1000; the same by the minute: 0.5 · 1440 · 1; no more than half of leaving it out: 0.5 · 200.
  expect(unit(1000)).toBe(500);
  expect(unit(0, { latePrice: { after: 0, perMinute: 1 } })).toBe(720);
  expect(unit(1000, { unservedPrice: 200 })).toBe(100);
});
