import type { InsertionCache } from './insertionCache.js';
import type { RouteModel } from './model.js';
import type { PlanState } from './planState.js';
import type { RandomStream } from './random.js';

/** Most stops at once: every insertion looks through all that are still out. */
export const MOST_COMPARED = 64;
/** By how much chance may lower a regret: without it the same stops would always go back the same way. */
const CHANCE_SHARE = 0.6;
/** Cheapest routes kept for a stop: two would do, but with more of them most changes of a route need no look at all the others. */
const KEPT = 4;

/**
 * Recreate by regret: of the stops still out, first goes in the one that would lose most if another took its place, by
 * the price of its second cheapest route (or of leaving it out) less that of its cheapest. So a stop that only one
 * person's day can take is not crowded out by one that many can.
 * S. Ropke, D. Pisinger, An Adaptive Large Neighborhood Search Heuristic for the Pickup and Delivery Problem with Time
 * Windows, Transportation Science 40(4), 2006, section 3.2.2 (regret-2).
 */
export class RegretInsertion {
  /** By place in the list · KEPT: the cheapest routes by rising price, each with the price of its cheapest place. */
  private readonly price = new Float64Array(MOST_COMPARED * KEPT);
  private readonly route = new Int32Array(MOST_COMPARED * KEPT);
  /** By place in the list: how many routes are kept, and what every other route costs at least. */
  private readonly kept = new Int32Array(MOST_COMPARED);
  private readonly others = new Float64Array(MOST_COMPARED);
  /** The stop that went in last, and the version that its route had before. */
  private inserted = -1;
  private versionBefore = -1;

  constructor(
    private readonly model: RouteModel,
    private readonly state: PlanState,
    private readonly cache: InsertionCache,
    private readonly random: RandomStream,
    private readonly mostSaved: Float64Array,
  ) {}

  /**
   * Puts `stops[0 … count − 1]` (left out until now, at most `MOST_COMPARED`) back where that costs at most `generosity`
   * times the price of leaving them out; `closedRoute` takes none. Reorders `stops`. False: it gave up, since the plan
   * would as good as certainly have cost more than `limit`; `hope` is what putting all of them back can save at most. O(count² + look-ups).
   */
  insertAll(stops: Int32Array, count: number, generosity: number, closedRoute: number, limit: number, hope: number): boolean {
    const { state } = this;
    for (let at = 0; at < count; at++) {
      this.compareRoutes(stops[at]!, at, generosity, closedRoute);
      // The others take room away: what has none now will hardly have any later (only a price can fall, by company).
      if (this.kept[at] === 0) hope -= this.mostSaved[stops[at]!]!;
      if (state.total - hope > limit) return false;
    }
    for (let left = count; left > 0; left--) {
      const chosen = this.mostRegretted(stops, left);
      if (chosen < 0) return true;
      const route = this.route[chosen * KEPT]!;
      const stop = stops[chosen]!;
      hope -= this.mostSaved[stop]!;
      this.inserted = stop;
      this.versionBefore = state.version[route]!;
      state.insert(stop, this.cache.bestNode[this.model.pairOf[stop * this.model.routeCount + route]!]!, route, this.price[chosen * KEPT]!);
      this.replace(stops, chosen, left - 1);
      for (let at = 0; at < left - 1; at++) {
        const hopeless = this.kept[at] === 0;
        this.compareChanged(stops[at]!, at, route, generosity, closedRoute);
        if (hopeless !== (this.kept[at] === 0)) hope += hopeless ? this.mostSaved[stops[at]!]! : -this.mostSaved[stops[at]!]!;
      }
      if (state.total - hope > limit) return false;
    }
    return true;
  }

  /** Place in the list of the stop with the greatest regret, −1 where none has room within its price. */
  private mostRegretted(stops: Int32Array, count: number): number {
    const { price, kept, random } = this;
    let chosen = -1;
    let most = -Infinity;
    for (let at = 0; at < count; at++) {
      if (kept[at] === 0) continue;
      const absent = this.model.absentPrice[stops[at]!]!;
      const otherwise = kept[at]! > 1 ? Math.min(price[at * KEPT + 1]!, absent) : absent;
      const regret = (otherwise - price[at * KEPT]!) * (1 - CHANCE_SHARE * random.next());
      if (regret > most) {
        most = regret;
        chosen = at;
      }
    }
    return chosen;
  }

  private replace(stops: Int32Array, at: number, by: number): void {
    stops[at] = stops[by]!;
    this.kept[at] = this.kept[by]!;
    this.others[at] = this.others[by]!;
    for (let rank = 0; rank < this.kept[by]!; rank++) {
      this.price[at * KEPT + rank] = this.price[by * KEPT + rank]!;
      this.route[at * KEPT + rank] = this.route[by * KEPT + rank]!;
    }
  }

  /** Finds the cheapest routes of a stop, cheapest bound first. */
  private compareRoutes(stop: number, at: number, generosity: number, closedRoute: number): void {
    const { cache } = this;
    const { allowed, leastPrice } = this.model;
    const limit = this.model.absentPrice[stop]! * generosity;
    this.kept[at] = 0;
    this.others[at] = Infinity;
    for (let pair = this.model.allowedOf[stop]!, end = this.model.allowedOf[stop + 1]!; pair < end; pair++) {
      const route = allowed[pair]!;
      const least = leastPrice[pair]!;
      if (least >= this.others[at]! || least > limit) break;
      if (route === closedRoute) continue;
      cache.refresh(pair, stop, route);
      const price = cache.best[pair]!;
      if (price <= limit && price < this.others[at]!) this.keep(at, route, price);
    }
  }

  /** After a stop has gone into a route: only that one is looked at, unless too few of the others are known. */
  private compareChanged(stop: number, at: number, route: number, generosity: number, closedRoute: number): void {
    this.forget(at, route);
    const limit = this.model.absentPrice[stop]! * generosity;
    const pair = this.model.pairOf[stop * this.model.routeCount + route]!;
    const least = pair < 0 ? Infinity : this.model.leastPrice[pair]!;
    if (least < this.others[at]! && least <= limit) {
      const price = this.cache.priceAfter(pair, stop, route, this.inserted, this.versionBefore, this.others[at]!);
      if (price <= limit && price < this.others[at]!) this.keep(at, route, price);
    }
    if (this.kept[at]! < 2 && this.others[at]! < Infinity) this.compareRoutes(stop, at, generosity, closedRoute);
  }

  private forget(at: number, route: number): void {
    const last = at * KEPT + this.kept[at]! - 1;
    let slot = at * KEPT;
    while (slot <= last && this.route[slot] !== route) slot++;
    if (slot > last) return;
    for (; slot < last; slot++) {
      this.route[slot] = this.route[slot + 1]!;
      this.price[slot] = this.price[slot + 1]!;
    }
    this.kept[at]!--;
  }

  private keep(at: number, route: number, price: number): void {
    if (this.kept[at]! < KEPT) this.kept[at]!++;
    const last = at * KEPT + this.kept[at]! - 1;
    let slot = last;
    for (; slot > at * KEPT && this.price[slot - 1]! > price; slot--) {
      this.route[slot] = this.route[slot - 1]!;
      this.price[slot] = this.price[slot - 1]!;
    }
    this.route[slot] = route;
    this.price[slot] = price;
    if (this.kept[at] === KEPT) this.others[at] = this.price[last]!;
  }
}
