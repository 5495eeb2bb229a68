import type { RouteModel } from './model.js';
import type { PlanState } from './planState.js';
import type { RandomStream } from './random.js';
import type { StringRemoval } from './stringRemoval.js';

/** Most routes adopted at once. */
const MOST_ADOPTED = 5;

/** A plan kept: stops in order by route, and the route of each stop (−1: left out). */
interface KeptPlan {
  routes: readonly (readonly number[])[];
  routeOf: Int32Array;
}

/**
 * Ruin by adoption: neighbouring routes of another plan, whole as they are, take the place of this plan's. What they
 * serve leaves the routes it was on; what they do not serve is left out, to be put back. So what one start arranged
 * well at one place comes together with what another did elsewhere.
 * After the selective route exchange of Y. Nagata, S. Kobayashi, A Memetic Algorithm for the Pickup and Delivery Problem
 * with Time Windows Using Selective Route Exchange Crossover, PPSN XI, 2010 (cited from memory); which routes, and that
 * the result is one step of the same anneal, is our own.
 */
export class RouteAdoption {
  private readonly plans: KeptPlan[] = [];

  constructor(
    private readonly model: RouteModel,
    private readonly state: PlanState,
    private readonly random: RandomStream,
    private readonly removal: StringRemoval,
  ) {}

  /** Keeps the plan as it stands, for later. O(stops + routes). */
  keepPlan(): void {
    const { state } = this;
    this.plans.push({ routes: state.routes(), routeOf: Int32Array.from(state.routeOf) });
  }

  /** Adopts routes near the stop `seed` from one of the kept plans; false where they are this plan's already. */
  adopt(seed: number): boolean {
    const { state, removal, random } = this;
    const plan = this.plans[Math.floor(random.next() * this.plans.length)]!;
    const adopted = this.routesNear(plan, seed, 1 + Math.floor(random.next() * MOST_ADOPTED));
    if (adopted.every((route) => plan.routes[route]!.every((stop) => state.routeOf[stop] === route))) return false;
    for (const route of adopted) removal.removeRoute(route);
    for (const route of adopted) removal.removeStops(plan.routes[route]!);
    for (const route of adopted) state.loadRoute(route, plan.routes[route]!);
    return true;
  }

  private routesNear(plan: KeptPlan, seed: number, most: number): number[] {
    const { neighbours, neighbourCount } = this.model;
    const near: number[] = [];
    for (let rank = 0; rank < neighbourCount && near.length < most; rank++) {
      const route = plan.routeOf[neighbours[seed * neighbourCount + rank]!]!;
      if (route >= 0 && !near.includes(route)) near.push(route);
    }
    return near;
  }
}
