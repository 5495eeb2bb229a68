import type { InsertionCache } from './insertionCache.js';
import type { RouteModel } from './model.js';
import type { PlanState } from './planState.js';
import type { RandomStream } from './random.js';

/** Most stops at once: every insertion looks through all that are still out. */
export const MOST_COMPARED = 64;
/** By how much chance may lower a regret: without it the same stops would always go back the same way. */
const CHANCE_SHARE = 0.3;

/**
 * Recreate by regret: of the stops still out, first goes in the one that would lose most if another took its place, by
 * the price of its second cheapest route (or of leaving it out) less that of its cheapest. So a stop that only one
 * person's day can take is not crowded out by one that many can.
 * S. Ropke, D. Pisinger, An Adaptive Large Neighborhood Search Heuristic for the Pickup and Delivery Problem with Time
 * Windows, Transportation Science 40(4), 2006, section 3.2.2 (regret-2).
 */
export class RegretInsertion {
  /** By place in the list: price and route of the cheapest place, price and route of the cheapest one on another route. */
  private readonly best = new Float64Array(MOST_COMPARED);
  private readonly bestRoute = new Int32Array(MOST_COMPARED);
  private readonly second = new Float64Array(MOST_COMPARED);
  private readonly secondRoute = new Int32Array(MOST_COMPARED);

  constructor(
    private readonly model: RouteModel,
    private readonly state: PlanState,
    private readonly cache: InsertionCache,
    private readonly random: RandomStream,
  ) {}

  /**
   * Puts `stops[0 … count − 1]` (left out until now, at most `MOST_COMPARED`) back where that costs at most `generosity`
   * times the price of leaving them out; `closedRoute` takes none. Reorders `stops`. O(count² + look-ups).
   */
  insertAll(stops: Int32Array, count: number, generosity: number, closedRoute: number): void {
    for (let at = 0; at < count; at++) this.compareRoutes(stops[at]!, at, generosity, closedRoute);
    for (let left = count; left > 0; left--) {
      const chosen = this.mostRegretted(stops, left);
      if (chosen < 0) return;
      const route = this.bestRoute[chosen]!;
      const stop = stops[chosen]!;
      this.state.insert(stop, this.cache.places[this.cache.lookUp(stop, route) * 2]!, route, this.best[chosen]!);
      this.replace(stops, chosen, left - 1);
      for (let at = 0; at < left - 1; at++) this.compareChanged(stops[at]!, at, route, generosity, closedRoute);
    }
  }

  /** Place in the list of the stop with the greatest regret, −1 where none has room within its price. */
  private mostRegretted(stops: Int32Array, count: number): number {
    const { best, second, random } = this;
    let chosen = -1;
    let most = -Infinity;
    for (let at = 0; at < count; at++) {
      if (best[at] === Infinity) continue;
      const otherwise = Math.min(second[at]!, this.model.absentPrice[stops[at]!]!);
      const regret = (otherwise - best[at]!) * (1 - CHANCE_SHARE * random.next());
      if (regret > most) {
        most = regret;
        chosen = at;
      }
    }
    return chosen;
  }

  private replace(stops: Int32Array, at: number, by: number): void {
    stops[at] = stops[by]!;
    this.best[at] = this.best[by]!;
    this.bestRoute[at] = this.bestRoute[by]!;
    this.second[at] = this.second[by]!;
    this.secondRoute[at] = this.secondRoute[by]!;
  }

  /** Finds the two cheapest routes of a stop, cheapest bound first. Most of the running time: hence all in one piece. */
  private compareRoutes(stop: number, at: number, generosity: number, closedRoute: number): void {
    const { cache } = this;
    const { allowed, leastPrice, routeCount } = this.model;
    const limit = this.model.absentPrice[stop]! * generosity;
    const row = stop * routeCount;
    let best = Infinity;
    let second = Infinity;
    let bestRoute = -1;
    let secondRoute = -1;
    for (let index = this.model.allowedOf[stop]!, end = this.model.allowedOf[stop + 1]!; index < end; index++) {
      const route = allowed[index]!;
      const least = leastPrice[row + route]!;
      if (least >= second || least > limit) break;
      if (route === closedRoute) continue;
      const price = cache.prices[cache.lookUp(stop, route) * 3 + 1]!;
      if (price > limit || price >= second) continue;
      if (price < best) {
        second = best;
        secondRoute = bestRoute;
        best = price;
        bestRoute = route;
      } else {
        second = price;
        secondRoute = route;
      }
    }
    this.best[at] = best;
    this.bestRoute[at] = bestRoute;
    this.second[at] = second;
    this.secondRoute[at] = secondRoute;
  }

  /** After a change of one route: all anew where it was among the two, else only that one is looked at. */
  private compareChanged(stop: number, at: number, route: number, generosity: number, closedRoute: number): void {
    if (this.bestRoute[at] === route || this.secondRoute[at] === route) {
      this.compareRoutes(stop, at, generosity, closedRoute);
      return;
    }
    const limit = this.model.absentPrice[stop]! * generosity;
    const least = this.model.leastPrice[stop * this.model.routeCount + route]!;
    if (least < this.second[at]! && least <= limit) this.offer(stop, at, route, limit);
  }

  private offer(stop: number, at: number, route: number, limit: number): void {
    const price = this.cache.prices[this.cache.lookUp(stop, route) * 3 + 1]!;
    if (price > limit || price >= this.second[at]!) return;
    const cheaper = price < this.best[at]!;
    this.second[at] = cheaper ? this.best[at]! : price;
    this.secondRoute[at] = cheaper ? this.bestRoute[at]! : route;
    if (!cheaper) return;
    this.best[at] = price;
    this.bestRoute[at] = route;
  }
}
