import type { RouteModel } from './model.js';
import type { PlanState } from './planState.js';

/**
 * The two cheapest places for a stop in a route, remembered until the route changes. The second is for blinks: skipping
 * places at random while looking gives the same as skipping the best one at random afterwards.
 *
 * One place is judged in O(1): by the earliest time the node before can be left and the latest time the node after can
 * be reached. Only where a delay has a price, and even its least price leaves the place among the two cheapest so far, it
 * is followed along the route until waiting takes it up.
 */
export class InsertionCache {
  /** By pair: the prices of the best and second place, Infinity where there is none; right only after `refresh`. */
  readonly best: Float64Array;
  readonly second: Float64Array;
  /** By pair: the nodes behind which these places are. */
  readonly bestNode: Int32Array;
  readonly secondNode: Int32Array;
  /** By pair: the route's version at which they were worked out. Apart from the prices: a look at many routes reads these in a row. */
  private readonly stamp: Float64Array;

  constructor(
    private readonly model: RouteModel,
    private readonly state: PlanState,
  ) {
    const pairs = model.allowed.length;
    this.best = new Float64Array(pairs);
    this.second = new Float64Array(pairs);
    this.bestNode = new Int32Array(pairs);
    this.secondNode = new Int32Array(pairs);
    this.stamp = new Float64Array(pairs).fill(-1);
  }

  /** Brings the entry of a pair, that of this stop and route, up to date with the route. */
  refresh(pair: number, stop: number, route: number): void {
    if (this.stamp[pair] !== this.state.version[route]) this.evaluate(stop, route, pair);
  }

  private evaluate(stop: number, route: number, pair: number): void {
    const { model, state, best, second } = this;
    this.stamp[pair] = state.version[route]!;
    best[pair] = Infinity;
    second[pair] = Infinity;
    if (!this.loadFits(stop, route)) return;
    if (model.oneWindowOn[pair] === 1 && state.latePriceOn(stop, route) === 0 && state.lateWeight[route] === 0) {
      this.scanPlain(stop, route, pair);
    } else {
      this.scan(stop, route, pair);
    }
    const extra = model.shiftPrice ? model.shiftPrice[stop * model.routeCount + route]! : 0;
    if (state.length[route] === 0) {
      // The step from home to end that an empty route does not drive must not be counted as saved.
      best[pair]! += extra + model.fixedCost[route]! + state.step[state.startOf(route)]!;
    } else if (extra > 0) {
      best[pair]! += extra;
      second[pair]! += extra;
    }
  }

  private loadFits(stop: number, route: number): boolean {
    const { loadKinds, load, capacity } = this.model;
    for (let kind = 0; kind < loadKinds; kind++) {
      const at = route * loadKinds + kind;
      if (this.state.carried[at]! + load[stop * loadKinds + kind]! > capacity[at]!) return false;
    }
    return true;
  }

  /** One window and no price on time: the common case, and most of the running time. */
  private scanPlain(stop: number, route: number, pair: number): void {
    const { model, state } = this;
    const { minutes, minutesInto, cost, costInto, place } = model;
    const { next, leave, latest, step } = state;
    const row = place[stop]! * model.placeCount;
    const opens = model.opensOn[pair]!;
    const closes = model.closesOn[pair]!;
    const service = model.service[stop]!;
    const lastLeave = closes - model.leastInto[stop]!;
    const firstReach = opens + service + model.leastOut[stop]!;
    let best = Infinity;
    let second = Infinity;
    let bestNode = -1;
    let secondNode = -1;
    for (let node = model.stopCount + route, end = node + model.routeCount; node !== end; ) {
      const left = leave[node]!;
      if (left > lastLeave) break;
      const following = next[node]!;
      const limit = latest[following]!;
      if (limit >= firstReach) {
        const from = place[node]!;
        const to = place[following]!;
        const price = costInto[row + from]! + cost[row + to]! - step[node]!;
        if (price < second) {
          const arrival = left + minutesInto[row + from]!;
          if (arrival <= closes && (arrival > opens ? arrival : opens) + service + minutes[row + to]! <= limit) {
            if (price < best) {
              second = best;
              secondNode = bestNode;
              best = price;
              bestNode = node;
            } else {
              second = price;
              secondNode = node;
            }
          }
        }
      }
      node = following;
    }
    this.store(pair, best, bestNode, second, secondNode);
  }

  private scan(stop: number, route: number, pair: number): void {
    const { model, state } = this;
    const { minutes, minutesInto, cost, costInto, place } = model;
    const { previous, leave, latest, step } = state;
    const row = place[stop]! * model.placeCount;
    const opens = model.opensOn[pair]!;
    const closes = model.closesOn[pair]!;
    const oneWindow = model.oneWindowOn[pair] === 1;
    const service = model.service[stop]!;
    const lastLeave = closes - model.leastInto[stop]!;
    const firstReach = opens + service + model.leastOut[stop]!;
    const perMinute = model.latePerMinute[stop]!;
    const after = model.lateAfter[stop]!;
    const followDelay = state.lateWeight[route]! > 0;
    let best = Infinity;
    let second = Infinity;
    let bestNode = -1;
    let secondNode = -1;
    // From the end on: what is behind a late place is short, so the first prices are low and rule out most early places.
    const start = model.stopCount + route;
    for (let following = start + model.routeCount; following !== start; following = previous[following]!) {
      const node = previous[following]!;
      if (latest[following]! < firstReach) break;
      if (leave[node]! > lastLeave) continue;
      const from = place[node]!;
      const to = place[following]!;
      let price = costInto[row + from]! + cost[row + to]! - step[node]!;
      if (price >= second) continue;
      const reach = leave[node]! + minutesInto[row + from]!;
      if (reach > closes) continue;
      const begin = oneWindow ? (reach > opens ? reach : opens) : state.firstStart(stop, reach);
      const arrival = begin + service + minutes[row + to]!;
      if (arrival > latest[following]!) continue;
      if (begin > after) price += perMinute * (begin - after);
      if (followDelay && following < model.stopCount) {
        const delay = arrival - (leave[following]! - model.service[following]!);
        if (delay > 0 && price + delay * state.delaySlope[following]! >= second) continue;
        price += this.delayPrice(following, arrival, second - price);
      }
      if (price < best) {
        second = best;
        secondNode = bestNode;
        best = price;
        bestNode = node;
      } else if (price < second) {
        second = price;
        secondNode = node;
      }
    }
    this.store(pair, best, bestNode, second, secondNode);
  }

  /** What it costs the stops from `node` on that it is reached at `arrival`; any price above `limit` is as good. */
  private delayPrice(node: number, arrival: number, limit: number): number {
    const { model, state } = this;
    let price = 0;
    while (node < model.stopCount) {
      const service = model.service[node]!;
      const after = model.lateAfter[node]!;
      const before = state.leave[node]! - service;
      const begin = state.firstStart(node, arrival);
      if (begin === before || (price > limit && begin > before)) break;
      if (begin > after || before > after) {
        price += model.latePerMinute[node]! * (Math.max(begin, after) - Math.max(before, after));
      }
      const following = state.next[node]!;
      arrival = begin + service + state.minutesBetween(node, following);
      node = following;
    }
    return price;
  }

  private store(pair: number, best: number, bestNode: number, second: number, secondNode: number): void {
    this.best[pair] = best;
    this.second[pair] = second;
    this.bestNode[pair] = bestNode;
    this.secondNode[pair] = secondNode;
  }
}
