import { describe, expect, test } from 'vitest';
import { buildRouteModel } from '../../packages/engine/src/routes/buildRouteModel.js';
import { InsertionCache } from '../../packages/engine/src/routes/insertionCache.js';
import { PlanState } from '../../packages/engine/src/routes/planState.js';
import type { RandomShape } from './routesRandom.js';
import { draws, randomProblem } from './routesRandom.js';

const shape: RandomShape = { stops: 24, technicians: 3, days: 2, places: 16, pricedPercent: 40, latePercent: 0, skilledPercent: 10, fixedPercent: 0, fixedCost: 20 };

/** A way round is never shorter: whole minutes, rounded up, between points. Costs are drawn. */
function planeProblem(seed: number, drawn: RandomShape) {
  const draw = draws(seed + 500);
  const points = Array.from({ length: drawn.places }, () => [draw(30), draw(30)] as const);
  const travelMinutes = points.map(([x, y]) => points.map(([otherX, otherY]) => Math.ceil(Math.hypot(x - otherX, y - otherY))));
  return { ...randomProblem(seed, drawn), travelMinutes };
}

/** What a stop that is left out would add to a route's price, at each place where all are on time: the whole route priced anew, cheapest first. */
function placesPriced(state: PlanState, stop: number, route: number): number[] {
  const { model } = state;
  const stops: number[] = [];
  for (let node = state.next[state.startOf(route)]!; node < model.stopCount; node = state.next[node]!) stops.push(node);
  const routes = (its: number[]) => Array.from({ length: model.routeCount }, (_, index) => (index === route ? its : []));
  const other = new PlanState(model);
  return Array.from({ length: stops.length + 1 }, (_, place) => {
    other.load(routes(stops.toSpliced(place, 0, stop)));
    return other.length[route] === stops.length + 1 ? other.routeCost[route]! - state.routeCost[route]! : Infinity;
  }).filter((price) => price < Infinity).sort((one, two) => one - two);
}

describe('the cheapest place for a stop in a route', () => {
  /** Fills a plan stop by stop; after each, every entry of that route as the search asks for it, against one worked out from nothing. */
  function filled(seed: number, drawn: RandomShape): { exact: number; unasked: number; looks: number } {
    const model = buildRouteModel(planeProblem(seed, drawn));
    const state = new PlanState(model);
    const cache = new InsertionCache(model, state);
    const draw = draws(seed);
    const told = { exact: 0, unasked: 0, looks: 0 };
    const left = Array.from({ length: model.stopCount }, (_, stop) => stop);
    const pairs = (stop: number) => Array.from({ length: model.allowedOf[stop + 1]! - model.allowedOf[stop]! }, (_, at) => model.allowedOf[stop]! + at);
    while (left.length > 0) {
      const [stop] = left.splice(draw(left.length), 1) as [number];
      for (const other of [stop, ...left]) for (const pair of pairs(other)) cache.refresh(pair, other, model.allowed[pair]!);
      const open = pairs(stop).filter((pair) => cache.best[pair]! < Infinity);
      if (open.length === 0) continue;
      const pair = open[draw(open.length)]!;
      const route = model.allowed[pair]!;
      const before = state.version[route]!;
      state.insert(stop, cache.bestNode[pair]!, route, cache.best[pair]!);
      const anew = new InsertionCache(model, state);
      for (const other of left) {
        const its = model.pairOf[other * model.routeCount + route]!;
        if (its < 0) continue;
        anew.refresh(its, other, route);
        const enough = draw(3) === 0 ? Infinity : draw(120);
        const price = cache.priceAfter(its, other, route, stop, before, enough);
        if (anew.best[its]! < enough) {
          expect(price, `seed ${seed}, stop ${other}`).toBe(anew.best[its]);
          told.exact++;
        } else {
          expect(price).toBeGreaterThanOrEqual(enough);
          told.unasked++;
        }
        cache.refresh(its, other, route);
        expect(cache.best[its], `seed ${seed}, stop ${other}`).toBe(anew.best[its]);
        if (cache.best[its] === Infinity || draw(8) > 0) continue;
        const prices = placesPriced(state, other, route);
        expect(cache.best[its]).toBeCloseTo(prices[0]!, 6);
        cache.lookPast(its, other, route);
        if (prices.length > 1) expect(cache.secondPrice).toBeCloseTo(prices[1]!, 6);
        else expect(cache.secondPrice).toBe(Infinity);
        told.looks++;
      }
    }
    return told;
  }

  test.each([['without prices on time', 0], ['with late prices', 50]])('is known after another stop went in, %s', (_, latePercent) => {
    const told = Array.from({ length: 40 }, (_, seed) => filled(seed, { ...shape, latePercent }));
    const sum = (count: (one: (typeof told)[number]) => number) => told.reduce((total, one) => total + count(one), 0);
    expect(sum(({ exact }) => exact)).toBeGreaterThan(500);
    expect(sum(({ unasked }) => unasked)).toBeGreaterThan(500);
    expect(sum(({ looks }) => looks)).toBeGreaterThan(100);
  });
});
