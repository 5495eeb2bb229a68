import type { RouteModel } from './model.js';
import type { PlanState } from './planState.js';

/**
 * The cheapest place for a stop in a route, remembered until the route changes.
 *
 * One place is judged in O(1): by the earliest time the node before can be left and the latest time the node after can
 * be reached. Only where a delay has a price, and even its least price leaves the place the cheapest so far, it is
 * followed along the route until waiting takes it up.
 */
export class InsertionCache {
  /** By pair: the price of the cheapest place, Infinity where there is none; right only after `refresh`. */
  readonly best: Float64Array;
  /** By pair: the node behind which this place is. */
  readonly bestNode: Int32Array;
  /** What `lookPast` found last, as `best` and `bestNode`. */
  secondPrice = Infinity;
  secondNode = -1;
  /** By pair: the route's version at which they were worked out. Apart from the prices: a look at many routes reads these in a row. */
  private readonly stamp: Float64Array;
  private foundPrice = Infinity;
  private foundNode = -1;

  constructor(
    private readonly model: RouteModel,
    private readonly state: PlanState,
  ) {
    const pairs = model.allowed.length;
    this.best = new Float64Array(pairs);
    this.bestNode = new Int32Array(pairs);
    this.stamp = new Float64Array(pairs).fill(-1);
  }

  /** Brings the entry of a pair, that of this stop and route, up to date with the route. */
  refresh(pair: number, stop: number, route: number): void {
    if (this.stamp[pair] !== this.state.version[route]) this.evaluate(stop, route, pair);
  }

  /**
   * The same after `inserted` alone has gone into the route, whose version was `before`, and the price there: exact below
   * `enough`, otherwise only that it is not below. Elsewhere there is no more room than before, so of an entry of that
   * version only the two new places are looked at, unless its own place is gone and neither is cheaper. (Where a way round
   * is shorter than the straight one, room can grow; a place that this opens is seen after the route's next change.)
   */
  priceAfter(pair: number, stop: number, route: number, inserted: number, before: number, enough: number): number {
    const { state, stamp, best, bestNode } = this;
    if (stamp[pair] !== before || state.length[route] === 1 || !this.isPlain(pair, stop, route) || !this.loadFits(stop, route)) {
      this.refresh(pair, stop, route);
      return best[pair]!;
    }
    const behind = state.previous[inserted]!;
    const extra = this.shiftPrice(stop, route);
    const priceBefore = this.plainPrice(pair, stop, behind) + extra;
    const priceBehind = this.plainPrice(pair, stop, inserted) + extra;
    const price = priceBehind < priceBefore ? priceBehind : priceBefore;
    const known = bestNode[pair]!;
    if (price < best[pair]!) {
      best[pair] = price;
      bestNode[pair] = priceBehind < priceBefore ? inserted : behind;
    } else if (best[pair]! < Infinity && (known === behind || this.plainPrice(pair, stop, known) === Infinity)) {
      // What is left costs at least as much as the place that is gone.
      if (best[pair]! < enough) this.evaluate(stop, route, pair);
      return best[pair]!;
    }
    stamp[pair] = state.version[route]!;
    return best[pair]!;
  }

  /** The cheapest place but one of an entry that is up to date, into `secondPrice` and `secondNode`: where a blink missed the cheapest. */
  lookPast(pair: number, stop: number, route: number): void {
    this.scan(pair, stop, route, this.bestNode[pair]!);
    this.secondPrice = this.foundPrice + this.shiftPrice(stop, route);
    this.secondNode = this.foundNode;
  }

  private evaluate(stop: number, route: number, pair: number): void {
    const { model, state, best, bestNode } = this;
    this.stamp[pair] = state.version[route]!;
    best[pair] = Infinity;
    if (!this.loadFits(stop, route)) return;
    this.scan(pair, stop, route, -1);
    best[pair] = this.foundPrice + this.shiftPrice(stop, route);
    bestNode[pair] = this.foundNode;
    // The step from home to end that an empty route does not drive must not be counted as saved.
    if (state.length[route] === 0) best[pair]! += model.fixedCost[route]! + state.step[state.startOf(route)]!;
  }

  private shiftPrice(stop: number, route: number): number {
    const { shiftPrice, routeCount } = this.model;
    return shiftPrice ? shiftPrice[stop * routeCount + route]! : 0;
  }

  /** One window and no price on time: the common case, and most of the running time. */
  private isPlain(pair: number, stop: number, route: number): boolean {
    const { model, state } = this;
    return model.oneWindowOn[pair] === 1 && state.lateWeight[route] === 0 && state.latePriceOn(stop, route) === 0;
  }

  private loadFits(stop: number, route: number): boolean {
    const { loadKinds, load, capacity } = this.model;
    for (let kind = 0; kind < loadKinds; kind++) {
      const at = route * loadKinds + kind;
      if (this.state.carried[at]! + load[stop * loadKinds + kind]! > capacity[at]!) return false;
    }
    return true;
  }

  /** Finds the cheapest place, but for the one behind `without`, into `foundPrice` (beside fixed and shift prices) and `foundNode`. */
  private scan(pair: number, stop: number, route: number, without: number): void {
    if (this.isPlain(pair, stop, route)) this.scanPlain(pair, stop, route, without);
    else this.scanPriced(pair, stop, route, without);
  }

  private scanPlain(pair: number, stop: number, route: number, without: number): void {
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
    let bestNode = -1;
    for (let node = model.stopCount + route, end = node + model.routeCount; node !== end; ) {
      const left = leave[node]!;
      if (left > lastLeave) break;
      const following = next[node]!;
      const limit = latest[following]!;
      if (limit >= firstReach) {
        const from = place[node]!;
        const to = place[following]!;
        const price = costInto[row + from]! + cost[row + to]! - step[node]!;
        if (price < best && node !== without) {
          const arrival = left + minutesInto[row + from]!;
          if (arrival <= closes && (arrival > opens ? arrival : opens) + service + minutes[row + to]! <= limit) {
            best = price;
            bestNode = node;
          }
        }
      }
      node = following;
    }
    this.foundPrice = best;
    this.foundNode = bestNode;
  }

  /** What `scanPlain` has for the place behind one node, Infinity where the stop is not on time. */
  private plainPrice(pair: number, stop: number, node: number): number {
    const { model, state } = this;
    const { minutes, minutesInto, cost, costInto, place } = model;
    const row = place[stop]! * model.placeCount;
    const opens = model.opensOn[pair]!;
    const following = state.next[node]!;
    const from = place[node]!;
    const to = place[following]!;
    const arrival = state.leave[node]! + minutesInto[row + from]!;
    if (arrival > model.closesOn[pair]!) return Infinity;
    if ((arrival > opens ? arrival : opens) + model.service[stop]! + minutes[row + to]! > state.latest[following]!) return Infinity;
    return costInto[row + from]! + cost[row + to]! - state.step[node]!;
  }

  private scanPriced(pair: number, stop: number, route: number, without: number): void {
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
    let bestNode = -1;
    // From the end on: what is behind a late place is short, so the first prices are low and rule out most early places.
    const start = model.stopCount + route;
    for (let following = start + model.routeCount; following !== start; following = previous[following]!) {
      const node = previous[following]!;
      if (latest[following]! < firstReach) break;
      if (leave[node]! > lastLeave || node === without) continue;
      const from = place[node]!;
      const to = place[following]!;
      let price = costInto[row + from]! + cost[row + to]! - step[node]!;
      if (price >= best) continue;
      const reach = leave[node]! + minutesInto[row + from]!;
      if (reach > closes) continue;
      const begin = oneWindow ? (reach > opens ? reach : opens) : state.firstStart(stop, reach);
      const arrival = begin + service + minutes[row + to]!;
      if (arrival > latest[following]!) continue;
      if (begin > after) price += perMinute * (begin - after);
      if (followDelay && following < model.stopCount) {
        const delay = arrival - (leave[following]! - model.service[following]!);
        if (delay > 0 && price + delay * state.delaySlope[following]! >= best) continue;
        price += this.delayPrice(following, arrival, best - price);
      }
      if (price < best) {
        best = price;
        bestNode = node;
      }
    }
    this.foundPrice = best;
    this.foundNode = bestNode;
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
}
