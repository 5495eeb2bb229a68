import type { InsertionCache } from './insertionCache.js';
import type { RouteModel } from './model.js';
import type { PlanState } from './planState.js';
import type { RandomStream } from './random.js';
import { MOST_COMPARED, RegretInsertion } from './regretInsertion.js';

/** Chance that a place is passed over; more often where there are few, or a small problem would never see a blink. */
const BLINK_CHANCE = 0.01;
const MOST_BLINK_CHANCE = 0.1;
/**
 * Chance that stops go back by regret, where no two routes are alike (at 400 stops and 40 person's days plans came out
 * 1 to 2 % better in the same time; always is too slow). Where routes are alike, second best means nothing: another empty one.
 */
const REGRET_CHANCE = 0.5;
/** Up to so many stops the search goes through them anyhow, and a blink is worth more. */
const MOST_STOPS_WITHOUT_REGRET = 40;

/**
 * Recreate by greedy insertion with blinks: stops that were taken out go back one by one, in an order drawn among
 * several, each to its cheapest place, now and then missing one on purpose. Or by regret (see `RegretInsertion`).
 */
export class Recreation {
  private readonly regrets: boolean;
  private readonly regret: RegretInsertion;
  private readonly mostSaved: Float64Array;
  private readonly orders: { weight: number; rank: Float64Array | null }[];
  private readonly weightSum: number;
  private readonly keys: Float64Array;
  private readonly logNoBlink: number;
  private untilBlink = 0;
  private closedRoute = -1;
  private blinking = true;
  private bestPrice = Infinity;
  private bestRoute = -1;
  private bestNode = -1;

  constructor(
    private readonly model: RouteModel,
    private readonly state: PlanState,
    private readonly cache: InsertionCache,
    private readonly random: RandomStream,
  ) {
    this.regrets = model.noneAlike && model.stopCount > MOST_STOPS_WITHOUT_REGRET;
    this.mostSaved = Float64Array.from({ length: model.stopCount }, (_, stop) => mostSaved(model, stop));
    this.regret = new RegretInsertion(model, state, cache, random, this.mostSaved);
    this.orders = insertionOrders(model);
    this.weightSum = this.orders.reduce((sum, order) => sum + order.weight, 0);
    this.keys = new Float64Array(model.stopCount);
    const blinkChance = Math.max(BLINK_CHANCE, Math.min(MOST_BLINK_CHANCE, 1 / Math.max(1, model.stopCount)));
    this.logNoBlink = Math.log(1 - blinkChance);
    this.drawBlink();
  }

  /**
   * Puts `stops[0 … count − 1]` (left out until now) back where that costs at most `generosity` times the price of
   * leaving them out. `closedRoute` takes none (−1: no route is closed). Reorders `stops`. False: it gave up halfway, as
   * soon as the plan was as good as certain to cost more than `limit`.
   */
  recreate(stops: Int32Array, count: number, generosity: number, closedRoute: number, limit: number): boolean {
    const { state } = this;
    let hope = 0;
    for (let at = 0; at < count; at++) hope += this.mostSaved[stops[at]!]!;
    if (this.regrets && count <= MOST_COMPARED && this.random.next() < REGRET_CHANCE) {
      return this.regret.insertAll(stops, count, generosity, closedRoute, limit, hope);
    }
    this.sort(stops, count);
    for (let at = 0; at < count; at++) {
      this.insertBest(stops[at]!, generosity, closedRoute, true);
      hope -= this.mostSaved[stops[at]!]!;
      if (state.total - hope > limit) return false;
    }
    return true;
  }

  /** Puts one stop to its cheapest place; false when there is none within its price. */
  insertBest(stop: number, generosity: number, closedRoute: number, blinking: boolean): boolean {
    const { model, state } = this;
    this.closedRoute = closedRoute;
    this.blinking = blinking;
    this.bestPrice = Infinity;
    if (model.choosy[stop] === 1) {
      const limit = model.absentPrice[stop]! * generosity;
      for (let at = model.allowedOf[stop]!; at < model.allowedOf[stop + 1]!; at++) {
        const least = model.leastPrice[at]!;
        if (least >= this.bestPrice || least > limit) break;
        this.tryRoute(at, stop, model.allowed[at]!);
      }
    } else {
      const { used } = state;
      const row = stop * model.routeCount;
      for (let at = 0; at < used.count; at++) this.tryRoute(model.pairOf[row + used.routes[at]!]!, stop, used.routes[at]!);
      for (let kind = 0; kind < used.classCount; kind++) {
        const route = used.spareOf(kind);
        if (route >= 0) this.tryRoute(model.pairOf[row + route]!, stop, route);
      }
    }
    if (this.bestPrice === Infinity || this.bestPrice > model.absentPrice[stop]! * generosity) return false;
    state.insert(stop, this.bestNode, this.bestRoute, this.bestPrice);
    return true;
  }

  private tryRoute(pair: number, stop: number, route: number): void {
    if (pair < 0) return;
    const { cache } = this;
    cache.refresh(pair, stop, route);
    let price = cache.best[pair]!;
    if (price >= this.bestPrice || route === this.closedRoute) return;
    let node = cache.bestNode[pair]!;
    if (this.blinking && --this.untilBlink <= 0) {
      this.drawBlink();
      cache.lookPast(pair, stop, route);
      price = cache.secondPrice;
      node = cache.secondNode;
      if (price >= this.bestPrice) return;
    }
    this.bestPrice = price;
    this.bestRoute = route;
    this.bestNode = node;
  }

  /** Geometric gap to the next blink: as good as a draw for every place, for one draw in a hundred places. */
  private drawBlink(): void {
    this.untilBlink = 1 + Math.floor(Math.log(1 - this.random.next()) / this.logNoBlink);
  }

  private sort(stops: Int32Array, count: number): void {
    const { random, keys } = this;
    let draw = random.next() * this.weightSum;
    let choice = 0;
    while (choice < this.orders.length - 1 && draw >= this.orders[choice]!.weight) {
      draw -= this.orders[choice++]!.weight;
    }
    const rank = this.orders[choice]!.rank;
    for (let at = 0; at < count; at++) keys[stops[at]!] = rank ? rank[stops[at]!]! : random.next();
    if (count > 64) {
      stops.subarray(0, count).sort((one, other) => keys[one]! - keys[other]! || one - other);
      return;
    }
    for (let at = 1; at < count; at++) {
      const stop = stops[at]!;
      const key = keys[stop]!;
      let slot = at;
      while (slot > 0 && keys[stops[slot - 1]!]! > key) {
        stops[slot] = stops[slot - 1]!;
        slot--;
      }
      stops[slot] = stop;
    }
  }
}

/** Orders of insertion with their weights (the paper's for time windows); least rank first, null for a random one. */
function insertionOrders(model: RouteModel): { weight: number; rank: Float64Array | null }[] {
  const { stopCount, loadKinds } = model;
  const rankBy = (key: (stop: number) => number): Float64Array =>
    Float64Array.from({ length: stopCount }, (_, stop) => key(stop));
  const far = rankBy((stop) => -nearestHomeCost(model, stop));
  const orders = [
    { weight: 4, rank: null },
    { weight: 2, rank: far },
    { weight: 1, rank: far.map((key) => -key) },
    { weight: 2, rank: rankBy((stop) => openMinutes(model, stop)) },
    { weight: 2, rank: rankBy((stop) => model.opens[stop]!) },
    { weight: 2, rank: rankBy((stop) => -model.closes[stop]!) },
  ];
  const heavy = rankBy((stop) => {
    let share = 0;
    for (let kind = 0; kind < loadKinds; kind++) share -= model.load[stop * loadKinds + kind]!;
    return share;
  });
  if (heavy.some((key) => key !== heavy[0])) orders.push({ weight: 4, rank: heavy });
  const routes = rankBy((stop) => model.allowedOf[stop + 1]! - model.allowedOf[stop]!);
  if (routes.some((key) => key !== routes[0])) orders.push({ weight: 4, rank: routes });
  const prices = rankBy((stop) => -model.absentPrice[stop]!);
  if (prices.some((key) => key !== prices[0])) orders.push({ weight: 4, rank: prices });
  return orders;
}

/** By how much putting a stop back can cheapen a plan at most. */
function mostSaved(model: RouteModel, stop: number): number {
  const cheapest = model.allowedOf[stop]!;
  return cheapest === model.allowedOf[stop + 1]! ? 0 : Math.max(0, model.absentPrice[stop]! - model.leastPrice[cheapest]!);
}

function openMinutes(model: RouteModel, stop: number): number {
  let open = 0;
  for (let window = model.windowOf[stop]!; window < model.windowOf[stop + 1]!; window++) {
    open += model.windowTo[window]! - model.windowFrom[window]!;
  }
  return open;
}

function nearestHomeCost(model: RouteModel, stop: number): number {
  let least = Infinity;
  for (let at = model.allowedOf[stop]!; at < model.allowedOf[stop + 1]!; at++) {
    const home = model.place[model.stopCount + model.allowed[at]!]!;
    least = Math.min(least, model.cost[home * model.placeCount + model.place[stop]!]!);
  }
  return least;
}
