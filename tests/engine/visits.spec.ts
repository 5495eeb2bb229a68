import {
  carriedParts, comparePlans, estimatedTravel, greatCircleKm, leftOutPrice, overdueDays, priceMoves, pricePlan, priceRoute, routeProblemOf, routeSlack, solveRoutes,
  visitsFromDemand, type Demand, type PlannedRoute, type RouteProblem, type RouteSolution, type VisitItem, type VisitPrices,
} from '@lintel/engine';
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { randomProblem } from './routesRandom.js';

const drawProblem = (seed: number, stops: number): RouteProblem => randomProblem(seed, {
  stops, technicians: 3, days: 2, places: 12, pricedPercent: 60, latePercent: 40, skilledPercent: 20, fixedPercent: 0, fixedCost: 30,
});
const prices: VisitPrices = {
  perMinute: 80, perKm: 45, route: 2000, trip: 3000, movedVisit: 6000,
  lateDay: { safety: 50_000, unsafe: 50_000, defect: 8000, note: 500, order: 4000, due: 1500, renewal: 0 },
};
const demand = (more: Partial<Demand> = {}): Demand => ({
  key: 'a', kind: 'due', siteId: 's', doorId: 'd', minutes: 60, skills: [], parts: [], earliestOn: null, dueOn: '2026-03-10', latestOn: null, ...more,
});
const options = { fromOn: '2026-03-02', horizonDays: 42, visitMinutes: 240, prices, technicianSkills: [['a', 'b'], ['c']] };
const bundled = (list: Demand[], more: Partial<typeof options> = {}) => visitsFromDemand(list, { ...options, ...more });
const keys = (list: Demand[], more: Partial<typeof options> = {}) => bundled(list, more).map(({ items }) => items.map((item) => `${item.key}:${item.joins.code}`));
const solved = (problem: RouteProblem): RouteSolution => {
  const answer = solveRoutes(problem, { seed: 1, budget: { iterations: 2000 } });
  if ('faults' in answer) throw new Error(JSON.stringify(answer.faults));
  return answer;
};

describe('visits from demand', () => {
  it('puts together what saves a trip, and says why', () => {
    expect(keys([demand(), demand({ key: 'b', dueOn: '2026-03-12', intervalDays: 365 })])).toEqual([['a:due', 'b:saves-trip']]);
    // 60 minutes at 80 are worth 4,800 over 30 days: 25 days early throw 4,000 away, a trip costs 3,000.
    expect(keys([demand(), demand({ key: 'b', dueOn: '2026-04-04', intervalDays: 30 })])).toEqual([['a:due'], ['b:due']]);
    expect(keys([demand({ dueOn: '2026-02-20' })])).toEqual([['a:late']]);
    expect(keys([demand(), demand({ key: 'r', kind: 'renewal', dueOn: null, gain: 4801 }), demand({ key: 's', kind: 'renewal', dueOn: null, gain: 4799 })])).toEqual([['a:due', 'r:worth-while']]);
    expect(keys([demand({ key: 'r', kind: 'renewal', dueOn: null, gain: 1e6 })])).toEqual([]);
    expect(keys([demand(), demand({ key: 'f', kind: 'finding', grade: 'unsafe', dueOn: '2026-03-01' })])).toEqual([['f:seen', 'a:saves-trip']]);
  });

  it('has safety first where a visit gets too long', () => {
    const late = demand({ dueOn: '2026-01-01', minutes: 200 });
    expect(keys([late, demand({ key: 's', kind: 'safety', dueOn: '2026-02-28', latestOn: '2026-03-01', minutes: 100 })])).toEqual([['s:late'], ['a:late']]);
    expect(keys([demand({ minutes: 200 }), demand({ key: 's', kind: 'safety', minutes: 100 })])).toEqual([['s:due'], ['a:due']]);
  });

  it('does nothing before its earliest date, and nothing together that no one can do', () => {
    expect(keys([demand(), demand({ key: 'b', dueOn: '2026-03-12', earliestOn: '2026-03-11' })])).toEqual([['a:due'], ['b:due']]);
    expect(keys([demand({ skills: ['a'] }), demand({ key: 'b', skills: ['c'] }), demand({ key: 'c', skills: ['b'] })])).toEqual([['a:due', 'c:due'], ['b:due']]);
  });

  it('loses nothing that is due within the horizon, and makes no visit too long that could be cut', () => {
    const one = fc.record({
      siteId: fc.constantFrom('s', 't'), kind: fc.constantFrom('safety' as const, 'due' as const, 'order' as const, 'finding' as const),
      minutes: fc.integer({ min: 10, max: 240 }), skills: fc.subarray(['a', 'b', 'c'], { maxLength: 1 }),
      due: fc.integer({ min: -20, max: 60 }), early: fc.integer({ min: 0, max: 20 }), late: fc.integer({ min: 0, max: 10 }), intervalDays: fc.integer({ min: 20, max: 400 }),
    });
    const day = (days: number) => new Date(Date.parse('2026-03-02') + days * 86_400_000).toISOString().slice(0, 10);
    fc.assert(fc.property(fc.array(one, { maxLength: 25 }), (drawn) => {
      const list = drawn.map(({ due, early, late, ...rest }, index) => demand({ ...rest, key: `k${index}`, dueOn: day(due), earliestOn: day(due - early), latestOn: day(due + late) }));
      const visits = bundled(list);
      const wanted = list.filter(({ dueOn }) => dueOn! <= day(42)).map(({ key }) => key).sort();
      expect(visits.flatMap(({ items }) => items.map(({ key }) => key)).sort()).toEqual(wanted);
      for (const { items, minutes, skills, notBefore, siteId } of visits) {
        expect(minutes).toBeLessThanOrEqual(240);
        expect(minutes).toBe(items.reduce((sum, item) => sum + item.minutes, 0));
        expect(options.technicianSkills.some((has) => skills.every((skill) => has.includes(skill)))).toBe(true);
        expect(items.every((item) => item.siteId === siteId && item.earliestOn! <= notBefore!)).toBe(true);
      }
    }), { seed: 5, numRuns: 200 });
  });
});

describe('prices of days', () => {
  const item = (more: Partial<VisitItem>): VisitItem => ({ ...demand(), joins: { code: 'due', facts: {} }, lateDay: 1500, earlyDay: 0, ...more });

  it('an overdue safety inspection left out costs more than any route that could have it', () => {
    const overdue = item({ kind: 'safety', dueOn: '2026-03-01', latestOn: '2026-03-01' });
    expect(overdueDays(overdue, '2026-03-09')).toBe(8);
    expect(overdueDays(overdue, '2026-03-01')).toBe(0);
    // 8 days late at 1,500 and at 50,000, and 200 days of 50,000 for leaving it out.
    expect(leftOutPrice([overdue], '2026-03-09', { prices, since: '2026-03-01' })).toBe(8 * 51_500 + 200 * 50_000);
    // Of the eight days five lie before a plan that begins on the 6th.
    expect(leftOutPrice([item({ dueOn: '2026-03-01' })], '2026-03-09', { prices, since: '2026-03-06' })).toBe(3 * 1500);
    expect(leftOutPrice([item({ dueOn: '2026-03-01' })], '2026-03-09', { prices, since: '2026-03-01' })).toBe(8 * 1500);
  });

  it('safety is never cheaper than other work, whatever prices were given', () => {
    const odd = { ...prices, lateDay: { ...prices.lateDay, safety: 1 } };
    expect(leftOutPrice([item({ kind: 'safety', dueOn: '2026-03-01', latestOn: '2026-03-01', lateDay: 0 })], '2026-03-02', { prices: odd, since: '2026-03-01' })).toBe(201 * 50_000);
  });

  it('putting work off saves no trip: what is due goes into a plan that has the hours, however far it is', () => {
    const problem = routeProblemOf({
      visits: [{ id: 'far', place: 1, items: [item({ dueOn: '2026-03-02' })], minutes: 60, skills: [], notBefore: null, windows: [{ on: '2026-03-02', from: 0, to: 1440 }] }],
      technicians: [{ id: 't', home: 0, skills: [], shifts: [{ on: '2026-03-02', from: 0, to: 900 }] }],
      minutes: [[0, 300], [300, 0]], km: [[0, 400], [400, 0]], since: '2026-03-02', nextOn: '2026-03-03', prices,
    });
    // Travel 2 × (300 · 80 + 400 · 45), the route and the trip; left out a day of lateness more.
    const trip = 2 * (300 * 80 + 400 * 45) + 2000 + 3000;
    expect([solved(problem).cost, problem.stops[0]!.unservedPrice]).toEqual([trip, trip + 1500]);
  });

  it('with hours for one visit alone, the overdue inspection goes first', () => {
    const visit = (id: string, place: number, one: Partial<VisitItem>) => ({
      id, place, items: [item(one)], minutes: 60, skills: [], notBefore: null, windows: [{ on: '2026-03-02', from: 0, to: 1440 }],
    });
    const problem = routeProblemOf({
      visits: [visit('order', 1, { kind: 'order', dueOn: '2026-02-01', lateDay: 4000 }), visit('safety', 2, { kind: 'safety', dueOn: '2026-03-01', latestOn: '2026-03-01' })],
      technicians: [{ id: 't', home: 0, skills: [], shifts: [{ on: '2026-03-02', from: 420, to: 600 }] }],
      minutes: [[0, 20, 50], [20, 0, 60], [50, 60, 0]], km: [[0, 20, 50], [20, 0, 60], [50, 60, 0]], since: '2026-03-02', nextOn: '2026-03-03', prices,
    });
    const plan = solved(problem);
    expect(plan.routes.map(({ stops }) => stops.map(({ id }) => id))).toEqual([['safety']]);
    expect(plan.unserved).toEqual([{ id: 'order', reason: 'no-hours' }]);
  });
});

const planOf = ({ routes }: RouteSolution): PlannedRoute[] => routes.map(({ technician, shift, stops }) => ({ technician, shift, stops: stops.map(({ id }) => id) }));

describe('moves', () => {
  it('cost what the plan so changed costs more (against pricing the whole plan anew)', () => {
    for (let seed = 1; seed <= 12; seed++) {
      const problem = drawProblem(seed, 10);
      const plan = planOf(solved(problem));
      const before = pricePlan(problem, plan);
      if ('faults' in before) throw new Error('not a plan');
      for (const { id } of problem.stops.slice(0, 4)) {
        const moves = priceMoves(problem, plan, id);
        if ('faults' in moves) throw new Error('no moves');
        expect(moves.length).toBeGreaterThan(1);
        for (const { technician, shift, position, difference, breaches } of moves) {
          const without = plan.map((route) => ({ ...route, stops: route.stops.filter((stop) => stop !== id) }));
          if (technician !== null) {
            const target = without.find((route) => route.technician === technician && route.shift === shift);
            if (target) target.stops = target.stops.toSpliced(position!, 0, id);
            else without.push({ technician, shift: shift!, stops: [id] });
          }
          const after = pricePlan(problem, without);
          if ('faults' in after) throw new Error('not a plan');
          expect(difference).toBeCloseTo(after.cost - before.cost, 6);
          expect(breaches).toEqual(after.breaches.filter((breach) => breach.technician === technician && breach.shift === shift));
        }
      }
    }
  });

  it('are refused for a stop or a plan that is not there', () => {
    const problem = drawProblem(1, 5);
    expect(priceMoves(problem, [], 'nobody')).toMatchObject({ faults: [{ code: 'no-such-stop' }] });
    expect(priceMoves(problem, [{ technician: 'nobody', shift: 0, stops: [] }], problem.stops[0]!.id)).toMatchObject({ faults: [{ code: 'no-such-shift' }] });
  });
});

it('slack is what a start may slip, and no more: with a start held back by it the route is possible, a little later it is not', () => {
  let tried = 0;
  for (let seed = 1; seed <= 30; seed++) {
    const problem = drawProblem(seed, 12);
    for (const route of solved(problem).routes) {
      const slack = routeSlack(problem, route);
      const technician = problem.technicians.find(({ id }) => id === route.technician)!;
      const breached = (at: number, delay: number): boolean => {
        // Held back: the stop's windows begin no earlier.
        const from = route.stops[at]!.start + delay;
        const stops = route.stops.map(({ id }, index) => {
          const stop = problem.stops.find((one) => one.id === id)!;
          const windows = stop.windows.length === 0 ? [{ from, to: Infinity }] : stop.windows.map((span) => ({ from: Math.max(span.from, from), to: span.to })).filter((span) => span.from <= span.to);
          return index === at ? { ...stop, windows: windows.length > 0 ? windows : [{ from: -1, to: -1 }] } : stop;
        });
        return priceRoute(problem, technician, route.shift, stops).breaches.some(({ kind }) => kind === 'window' || kind === 'hours');
      };
      for (const [at, minutes] of slack.entries()) {
        expect([seed, at, breached(at, Math.max(0, minutes - 1e-7))]).toEqual([seed, at, false]);
        // Behind a window that has closed there may be another; the slack reaches to the last of them.
        expect([seed, at, breached(at, minutes + 1e-3)]).toEqual([seed, at, true]);
        tried += 1;
      }
    }
  }
  expect(tried).toBeGreaterThan(100);
});

describe('places and plans', () => {
  it('great circle: a quarter of a meridian, and BNA to LAX (2,887.26 km on a sphere of 6,372.8 km: a common example, from memory)', () => {
    expect(greatCircleKm({ latitude: 0, longitude: 10 }, { latitude: 90, longitude: 80 })).toBeCloseTo((Math.PI / 2) * 6371.0088, 6);
    const km = greatCircleKm({ latitude: 36.12, longitude: -86.67 }, { latitude: 33.94, longitude: -118.4 });
    expect((km * 6372.8) / 6371.0088).toBeCloseTo(2887.26, 2);
    expect(greatCircleKm({ latitude: 10, longitude: 179.5 }, { latitude: 10, longitude: -179.5 })).toBeLessThan(112);
    expect(estimatedTravel({ latitude: 0, longitude: 0 }, { latitude: 1, longitude: 0 }, { speedKmh: 60, detourFactor: 2 }).minutes).toBeCloseTo(222.39, 2);
  });

  it('compares two plans by what is done, not by names', () => {
    const visit = (id: string, on: string | null, more: object = {}) => ({
      id, siteId: 's', minutes: 60, keys: [id.slice(1)], technicianId: on === null ? null : 't', on, startAtMs: on === null ? null : Date.parse(on), announced: false, ...more,
    });
    const before = [visit('aA', '2026-03-02'), visit('aB', '2026-03-02'), visit('aC', '2026-03-03'), visit('aD', null), visit('aF', '2026-03-04')];
    const after = [visit('bA', '2026-03-02'), visit('bB', '2026-03-05'), visit('bC', null), visit('bD', '2026-03-03'), visit('bE', '2026-03-03'), visit('bF', '2026-03-04', { startAtMs: Date.parse('2026-03-04') + 3_600_000 })];
    const { moved, added, dropped, unchanged } = comparePlans(before, after);
    expect(moved.map((move) => [move.before.id, move.after.id, move.otherRoute])).toEqual([['aB', 'bB', true], ['aF', 'bF', false]]);
    expect([added.map(({ id }) => id), dropped.map(({ id }) => id), unchanged]).toEqual([['bD', 'bE'], ['aC'], 1]);
  });

  it('a visit that stays but has other work is told, also where it moved besides', () => {
    const visit = (id: string, keys: string[], minutes: number, on = '2026-03-02') => ({
      id, siteId: 's', keys, minutes, technicianId: 't', on, startAtMs: Date.parse(on), announced: true,
    });
    const told = (...after: Parameters<typeof visit>) => {
      const { moved, reworked, unchanged } = comparePlans([visit('a', ['x', 'y'], 90)], [visit(...after)]);
      return { moved: moved.length, unchanged, reworked: reworked.map(({ gained, lost, minutes }) => ({ gained, lost, minutes })) };
    };
    expect(told('b', ['y', 'x'], 90)).toEqual({ moved: 0, unchanged: 1, reworked: [] });
    expect(told('b', ['x', 'y', 'z'], 150)).toEqual({ moved: 0, unchanged: 0, reworked: [{ gained: ['z'], lost: [], minutes: 60 }] });
    expect(told('b', ['x', 'y'], 100)).toEqual({ moved: 0, unchanged: 0, reworked: [{ gained: [], lost: [], minutes: 10 }] });
    expect(told('b', ['x'], 40, '2026-03-03')).toEqual({ moved: 1, unchanged: 0, reworked: [{ gained: [], lost: ['y'], minutes: -50 }] });
  });

  it('a visit that is kept stays in the one of two shifts of its day in which it begins', () => {
    const on = '2026-03-02';
    const fixedAt = (startMinutes: number) => routeProblemOf({
      visits: [{ id: 'v', place: 1, items: [], minutes: 30, skills: [], notBefore: null, windows: [{ on, from: 0, to: 1440 }], fixed: { technician: 't', on, startMinutes } }],
      technicians: [{ id: 't', home: 0, skills: [], shifts: [{ on, from: 360, to: 600 }, { on, from: 720, to: 1000 }] }],
      minutes: [[0, 10], [10, 0]], km: [[0, 5], [5, 0]], since: on, nextOn: '2026-03-03', prices,
    }).stops[0]!.fixed;
    expect([fixedAt(370), fixedAt(719), fixedAt(720), fixedAt(800)]).toEqual([0, 0, 1, 1].map((shift) => ({ technician: 't', shift })));
  });

  it('parts are used up day by day', () => {
    const routes = [{ technicianId: 't', on: '2026-03-03', parts: { chain: 2 } }, { technicianId: 't', on: '2026-03-02', parts: { chain: 2, beam: 1 } }, { technicianId: 'u', on: '2026-03-02', parts: { chain: 1 } }];
    expect(carriedParts(routes, new Map([['t', { chain: 3 }]]))).toEqual([
      [{ kind: 'chain', needed: 2, onVan: 1, missing: 1 }],
      [{ kind: 'beam', needed: 1, onVan: 0, missing: 1 }, { kind: 'chain', needed: 2, onVan: 3, missing: 0 }],
      [{ kind: 'chain', needed: 1, onVan: 0, missing: 1 }],
    ]);
  });
});
