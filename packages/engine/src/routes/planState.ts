import type { RouteModel } from './model.js';
import { SavedRoutes } from './savedRoutes.js';
import { UsedRoutes } from './usedRoutes.js';

/**
 * A plan under search: every route a linked list of nodes with its schedule. `leave` is the earliest time one can leave
 * a node; `latest` the latest time one may arrive at it (or wait there) with everything behind it still on time. So an
 * insertion is possible if, and only if, it reaches the next node by that node's `latest`, whatever the windows are.
 *
 * Changes between `begin` and `undo` can be taken back; only the routes that they touched are copied.
 */
export class PlanState {
  readonly next: Int32Array;
  readonly previous: Int32Array;
  readonly leave: Float64Array;
  readonly latest: Float64Array;
  /** Price of the step from the node to the next one. */
  readonly step: Float64Array;
  /** By stop: its route, −1 when it is left out. */
  readonly routeOf: Int32Array;
  readonly length: Int32Array;
  readonly routeCost: Float64Array;
  readonly carried: Float64Array;
  /** Sum of `latePriceOn` of the route's stops: 0 where no delay can cost. */
  readonly lateWeight: Float64Array;
  /** By stop: what each minute that it starts later costs at least, from there to where somebody waits next. */
  readonly delaySlope: Float64Array;
  /** Changes with every change of the route and returns with `undo`: equal versions, equal routes. */
  readonly version: Float64Array;
  /** Stops left out, in no order; `absentAt` is each one's index there. */
  readonly absent: Int32Array;
  readonly absentAt: Int32Array;
  absentCount = 0;
  readonly used: UsedRoutes;
  /** Price of the routes and of the stops left out, as the search sees it. */
  total = 0;

  private lastVersion = 0;
  private readonly saved: SavedRoutes;

  constructor(readonly model: RouteModel) {
    const { stopCount, routeCount } = model;
    const nodes = stopCount + 2 * routeCount;
    this.next = new Int32Array(nodes);
    this.previous = new Int32Array(nodes);
    this.leave = new Float64Array(nodes);
    this.latest = new Float64Array(nodes);
    this.step = new Float64Array(nodes);
    this.routeOf = new Int32Array(stopCount);
    this.length = new Int32Array(routeCount);
    this.routeCost = new Float64Array(routeCount);
    this.carried = new Float64Array(routeCount * model.loadKinds);
    this.lateWeight = new Float64Array(routeCount);
    this.delaySlope = new Float64Array(stopCount);
    this.version = new Float64Array(routeCount);
    this.absent = new Int32Array(stopCount);
    this.absentAt = new Int32Array(stopCount);
    this.used = new UsedRoutes(model.routeClass);
    this.saved = new SavedRoutes(model);
    this.clear();
  }

  /** Leaves every stop out. O(stops + routes). */
  clear(): void {
    const { stopCount, routeCount, absentPrice } = this.model;
    this.absentCount = 0;
    this.used.clear();
    this.total = 0;
    for (let stop = 0; stop < stopCount; stop++) {
      this.routeOf[stop] = -1;
      this.markAbsent(stop);
      this.total += absentPrice[stop]!;
    }
    this.length.fill(0);
    for (let route = 0; route < routeCount; route++) {
      this.link(this.startOf(route), this.endOf(route));
      this.reschedule(route);
    }
  }

  startOf(route: number): number {
    return this.model.stopCount + route;
  }

  endOf(route: number): number {
    return this.model.stopCount + this.model.routeCount + route;
  }

  /** From here on changes can be taken back. */
  begin(): void {
    this.saved.begin(this);
  }

  /** Takes back every change since `begin`. O(length of the touched routes + stops left out). */
  undo(): void {
    this.saved.restore(this);
  }

  /** To be called before a route is changed: keeps a copy once between `begin` and `undo`. */
  touch(route: number): void {
    this.saved.keep(this, route);
  }

  /** Earliest start at or after `arrival` within the stop's windows, Infinity when there is none. */
  firstStart(stop: number, arrival: number): number {
    const { windowOf, windowFrom, windowTo } = this.model;
    for (let window = windowOf[stop]!; window < windowOf[stop + 1]!; window++) {
      if (arrival <= windowTo[window]!) return Math.max(arrival, windowFrom[window]!);
    }
    return Infinity;
  }

  /** Latest time at or before `bound` within the stop's windows, −Infinity when there is none. */
  lastStart(stop: number, bound: number): number {
    const { windowOf, windowFrom, windowTo } = this.model;
    for (let window = windowOf[stop + 1]! - 1; window >= windowOf[stop]!; window--) {
      if (bound >= windowFrom[window]!) return Math.min(bound, windowTo[window]!);
    }
    return -Infinity;
  }

  /** Price of a minute's delay of the stop on that route: 0 where the day ends before it could be late. */
  latePriceOn(stop: number, route: number): number {
    const { lateAfter, latePerMinute, closes, stopCount } = this.model;
    return lateAfter[stop]! < closes[stopCount + route]! ? latePerMinute[stop]! : 0;
  }

  /**
   * Puts a stop that is left out behind node `after` of a route where it fits; `delta` is what the route's price grows
   * by. The schedule is followed only as far as it changes.
   */
  insert(stop: number, after: number, route: number, delta: number): void {
    const { model, next } = this;
    this.touch(route);
    const before = next[after]!;
    this.link(after, stop);
    this.link(stop, before);
    this.routeOf[stop] = route;
    if (this.length[route]!++ === 0) this.used.use(route);
    this.unmarkAbsent(stop);
    this.routeCost[route]! += delta;
    this.total += delta - model.absentPrice[stop]!;
    this.lateWeight[route]! += this.latePriceOn(stop, route);
    for (let kind = 0; kind < model.loadKinds; kind++) {
      this.carried[route * model.loadKinds + kind]! += model.load[stop * model.loadKinds + kind]!;
    }
    this.priceStep(after);
    this.priceStep(stop);
    this.pushForward(stop);
    this.pushBackward(stop);
    this.settleDelays(route);
    this.version[route] = ++this.lastVersion;
  }

  /** Takes a stop out of its route; the route's schedule is wrong until `reschedule`. */
  unlink(stop: number): void {
    const route = this.routeOf[stop]!;
    this.link(this.previous[stop]!, this.next[stop]!);
    this.routeOf[stop] = -1;
    if (--this.length[route]! === 0) this.used.free(route);
    this.markAbsent(stop);
    this.total += this.model.absentPrice[stop]!;
  }

  /**
   * Works out a route anew. Where travel does not obey the triangle inequality, a route can lose a stop and become too
   * late for the next one: such stops are left out as well. O(length).
   */
  reschedule(route: number): void {
    const { model, next, leave } = this;
    const end = this.endOf(route);
    const start = this.startOf(route);
    leave[start] = model.opens[start]!;
    let node = start;
    while (node !== end) {
      const following = next[node]!;
      const arrival = leave[node]! + this.minutesBetween(node, following);
      if (following < model.stopCount) {
        const begin = this.firstStart(following, arrival);
        if (begin === Infinity) {
          this.unlink(following);
          continue;
        }
        leave[following] = begin + model.service[following]!;
      } else if (arrival > model.closes[end]! && node !== start) {
        const before = this.previous[node]!;
        this.unlink(node);
        node = before;
        continue;
      }
      node = following;
    }
    this.latest[end] = model.closes[end]!;
    this.sumUp(route);
    this.version[route] = ++this.lastVersion;
  }

  /** Sets the plan to the given stops by route; what is not on time there is left out. O(stops + routes). */
  load(routes: readonly (readonly number[])[]): void {
    this.clear();
    routes.forEach((stops, route) => this.loadRoute(route, stops));
    this.retotal();
  }

  /** Puts stops that are left out on an empty route in the given order; those that are too late there stay out. */
  private loadRoute(route: number, stops: readonly number[]): void {
    let node = this.startOf(route);
    for (const stop of stops) {
      this.link(node, stop);
      this.routeOf[stop] = route;
      this.unmarkAbsent(stop);
      this.total -= this.model.absentPrice[stop]!;
      node = stop;
    }
    this.link(node, this.endOf(route));
    this.length[route] = stops.length;
    if (stops.length > 0) this.used.use(route);
    this.reschedule(route);
  }

  /** Price of the whole plan added up from nothing, against the drift of many small changes. */
  retotal(): void {
    let total = 0;
    for (let route = 0; route < this.model.routeCount; route++) total += this.routeCost[route]!;
    for (let at = 0; at < this.absentCount; at++) total += this.model.absentPrice[this.absent[at]!]!;
    this.total = total;
  }

  minutesBetween(from: number, to: number): number {
    const { minutes, place, placeCount } = this.model;
    return minutes[place[from]! * placeCount + place[to]!]!;
  }

  markAbsent(stop: number): void {
    this.absentAt[stop] = this.absentCount;
    this.absent[this.absentCount++] = stop;
  }

  private unmarkAbsent(stop: number): void {
    const last = this.absent[--this.absentCount]!;
    const at = this.absentAt[stop]!;
    this.absent[at] = last;
    this.absentAt[last] = at;
  }

  link(from: number, to: number): void {
    this.next[from] = to;
    this.previous[to] = from;
  }

  private priceStep(node: number): void {
    const { cost, place, placeCount } = this.model;
    this.step[node] = cost[place[node]! * placeCount + place[this.next[node]!]!]!;
  }

  private pushForward(from: number): void {
    const { model, next, leave } = this;
    let node = this.previous[from]!;
    for (let following = from; following < model.stopCount; following = next[node]!) {
      const begin = this.firstStart(following, leave[node]! + this.minutesBetween(node, following));
      const left = begin + model.service[following]!;
      if (following !== from && left === leave[following]) return;
      leave[following] = left;
      node = following;
    }
  }

  private pushBackward(from: number): void {
    const { model, previous, latest } = this;
    let node = this.next[from]!;
    for (let earlier = from; earlier < model.stopCount; earlier = previous[node]!) {
      const bound = latest[node]! - this.minutesBetween(earlier, node) - model.service[earlier]!;
      const last = this.lastStart(earlier, bound);
      if (earlier !== from && last === latest[earlier]) return;
      latest[earlier] = last;
      node = earlier;
    }
  }

  /** Price, load and latest times of a route whose `leave` is right. */
  private sumUp(route: number): void {
    const { model, previous, latest } = this;
    const start = this.startOf(route);
    const kinds = model.loadKinds;
    let price = this.length[route]! > 0 ? model.fixedCost[route]! : 0;
    let lateWeight = 0;
    for (let kind = 0; kind < kinds; kind++) this.carried[route * kinds + kind] = 0;
    let node = this.endOf(route);
    while (node !== start) {
      const earlier = previous[node]!;
      this.priceStep(earlier);
      if (this.length[route]! > 0) price += this.step[earlier]!;
      if (earlier !== start) {
        const bound = latest[node]! - this.minutesBetween(earlier, node) - model.service[earlier]!;
        latest[earlier] = this.lastStart(earlier, bound);
        price += this.stopPrice(earlier, route);
        lateWeight += this.latePriceOn(earlier, route);
        for (let kind = 0; kind < kinds; kind++) {
          this.carried[route * kinds + kind]! += model.load[earlier * kinds + kind]!;
        }
      }
      node = earlier;
    }
    this.total += price - this.routeCost[route]!;
    this.routeCost[route] = price;
    this.lateWeight[route] = lateWeight;
    this.settleDelays(route);
  }

  /** Works out `delaySlope` along a route on which lateness can cost. O(length). */
  settleDelays(route: number): void {
    if (this.lateWeight[route]! <= 0) return;
    const { model, next, previous, leave } = this;
    let slope = 0;
    for (let node = previous[this.endOf(route)]!; node < model.stopCount; node = previous[node]!) {
      const following = next[node]!;
      if (following < model.stopCount) {
        const arrival = leave[node]! + this.minutesBetween(node, following);
        if (leave[following]! - model.service[following]! > arrival) slope = 0;
      }
      if (leave[node]! - model.service[node]! >= model.lateAfter[node]!) slope += model.latePerMinute[node]!;
      this.delaySlope[node] = slope;
    }
  }

  /** What a stop costs where it stands, beside travel: lateness and the price of the shift. */
  private stopPrice(stop: number, route: number): number {
    const { latePerMinute, lateAfter, service, shiftPrice, routeCount } = this.model;
    const shift = shiftPrice ? shiftPrice[stop * routeCount + route]! : 0;
    if (latePerMinute[stop] === 0) return shift;
    return shift + latePerMinute[stop]! * Math.max(0, this.leave[stop]! - service[stop]! - lateAfter[stop]!);
  }

  /** For `undo` only: sets the counter fields of a route back. */
  restoreRoute(route: number, length: number, cost: number, lateWeight: number, version: number): void {
    if (this.length[route] === 0 && length > 0) this.used.use(route);
    if (this.length[route]! > 0 && length === 0) this.used.free(route);
    this.length[route] = length;
    this.routeCost[route] = cost;
    this.lateWeight[route] = lateWeight;
    this.version[route] = version;
  }
}
