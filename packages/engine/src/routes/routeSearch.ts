import { ALIKE_LEGS, FIRST_LEG, legsOfStarts } from './annealingLegs.js';
import type { AnnealingLeg } from './annealingLegs.js';
import { InsertionCache } from './insertionCache.js';
import type { RouteModel } from './model.js';
import { PlanState } from './planState.js';
import { seededStream } from './random.js';
import type { RandomStream } from './random.js';
import { Recreation } from './recreation.js';
import { StringRemoval } from './stringRemoval.js';

/** Where no two routes are alike and there are more stops than this, legs and removals of their own found better plans (2 % at 400 stops). */
const FEW_STOPS = 200;
/** Part of the budget after which it is known how many iterations it holds. */
const KNOWN_AFTER = 0.02;
/** Stops removed an iteration on average (paper: 10), and where many stops meet routes that all differ (0.7 % better at 400 stops). */
const AVERAGE_REMOVED = 15;
const AVERAGE_REMOVED_OF_MANY = 22;
/** Iterations between two temperatures. */
const TEMPERATURE_INTERVAL = 64;
/** Stops left out before that an iteration tries again: trying all of them makes a full house many times slower. */
const MOST_RETRIES = 10;
/** Chance that stops are served at up to so many times their price: two together may be worth what one is not. */
const GENEROUS_CHANCE = 0.05;
const GENEROSITY = 4;
/**
 * Chance that an iteration closes a route, half the time emptying it first: a shift is saved, or its stops move to
 * another day or person together, which no single cheapest place would lead to. Needless where all routes are alike.
 */
const CLOSING_CHANCE = 0.1;
const EMPTYING_CHANCE = 0.5;

/**
 * Search for a good plan: ruin and recreate under simulated annealing. It does what it is told and no more: the caller
 * drives it in slices (`step`), reads no clock here, may stop between any two slices, and finds the best plan so far in
 * `best` at every time. Deterministic for a model, a seed, a starting plan and the sequence of slices; and independent
 * of the slices when `fraction` is the iterations done over the iterations planned.
 */
export class RouteSearch {
  private readonly state: PlanState;
  iterations = 0;
  /** Price of the best plan as the search sees it. */
  bestTotal = Infinity;

  private readonly random: RandomStream;
  private readonly removal: StringRemoval;
  private readonly recreation: Recreation;
  private readonly best: Int32Array;
  private readonly bestRouteOf: Int32Array;
  private readonly tried: Int32Array;
  private readonly closable: boolean;
  /** Null until it is known how many starts the budget has room for. */
  private legs: readonly AnnealingLeg[] | null;
  private leg = 0;
  /** Price of the best plan of this leg: what is left out is put back at each, also where an earlier leg was better. */
  private legTotal = Infinity;
  private shown: PlanState | null = null;

  /** `start`: routes as lists of stop indices, by route; what does not fit is left out and put back where it does. */
  constructor(
    private readonly model: RouteModel,
    seed: number,
    start?: readonly (readonly number[])[],
  ) {
    this.random = seededStream(seed);
    this.state = new PlanState(model);
    const cache = new InsertionCache(model, this.state);
    const many = model.noneAlike && model.stopCount > FEW_STOPS;
    this.legs = many ? (model.shiftPrice ? null : legsOfStarts(0)) : ALIKE_LEGS;
    this.removal = new StringRemoval(model, this.state, this.random, many ? AVERAGE_REMOVED_OF_MANY : AVERAGE_REMOVED);
    this.recreation = new Recreation(model, this.state, cache, this.random);
    this.best = new Int32Array(model.stopCount);
    this.bestRouteOf = new Int32Array(model.stopCount).fill(-1);
    this.tried = new Int32Array(model.stopCount);
    this.closable = model.fixedCost.some((price) => price > 0) || model.routeClass.some((kind) => kind > 0);
    if (start) {
      this.state.load(start);
      this.keepIfBest();
    }
    this.construct();
    this.keepIfBest();
  }

  /** False where there is nothing to arrange. */
  get canSearch(): boolean {
    return this.model.allowed.length > 0;
  }

  /** The best plan so far, as a state of its own that the next call overwrites. O(stops + routes). */
  bestState(): PlanState {
    this.shown ??= new PlanState(this.model);
    this.shown.load(this.bestRoutes());
    return this.shown;
  }

  /** The best plan found: stop indices by route, in order. O(stops + routes). */
  private bestRoutes(): number[][] {
    const routes: number[][] = Array.from({ length: this.model.routeCount }, () => []);
    for (const stop of this.best) if (this.bestRouteOf[stop]! >= 0) routes[this.bestRouteOf[stop]!]!.push(stop);
    return routes;
  }

  /**
   * Runs up to `iterations` iterations; `fractionAt(i)` says which part of the budget, 0 … 1, is behind us after `i`
   * iterations in all (it sets the temperature and the leg).
   */
  step(iterations: number, fractionAt: (iterations: number) => number): void {
    if (!this.canSearch) return;
    let temperature = -1;
    for (let count = 0; count < iterations; count++) {
      const past = this.iterations % TEMPERATURE_INTERVAL;
      if (temperature < 0 || past === 0) {
        temperature = this.temperatureAt(Math.min(Math.max(fractionAt(this.iterations - past), 0), 1));
      }
      this.iterate(temperature);
      this.iterations++;
    }
  }

  private temperatureAt(fraction: number): number {
    if (!this.legs && fraction >= KNOWN_AFTER) this.legs = legsOfStarts(this.iterations / fraction / this.model.stopCount);
    const legs = this.legs ?? [FIRST_LEG];
    while (fraction >= legs[this.leg]!.until && this.leg < legs.length - 1) {
      this.leg++;
      if (legs[this.leg]!.fromBest) this.state.load(this.bestRoutes());
      else this.state.clear();
      this.construct();
      this.legTotal = Infinity;
    }
    const { until, hottest, coldest } = legs[this.leg]!;
    const from = this.leg > 0 ? legs[this.leg - 1]!.until : 0;
    return this.model.costUnit * hottest * (coldest / hottest) ** Math.min(1, (fraction - from) / (until - from));
  }

  private iterate(temperature: number): void {
    const { state, random, model } = this;
    const before = state.total;
    state.begin();
    const seed = Math.floor(random.next() * model.stopCount);
    const retried = this.chooseRetries(seed);
    const absentBefore = state.absentCount;
    let closed = -1;
    if (this.closable && random.next() < CLOSING_CHANCE) closed = state.routeOf[seed]!;
    if (closed >= 0 && random.next() < EMPTYING_CHANCE) this.removal.removeRoute(closed);
    else this.removal.ruin(seed);
    let count = retried;
    for (let at = absentBefore; at < state.absentCount; at++) this.tried[count++] = state.absent[at]!;
    const generosity = random.next() < GENEROUS_CHANCE ? GENEROSITY : 1;
    const limit = Math.max(before, before - temperature * Math.log(1 - random.next()));
    if (this.recreation.recreate(this.tried, count, generosity, closed, limit) && state.total <= limit) {
      if (state.total < this.legTotal - 1e-9) this.keepIfBest();
    } else {
      state.undo();
    }
  }

  /** Draws some of the stops left out to be tried again, always the seed if it is one of them. */
  private chooseRetries(seed: number): number {
    const { state, random, tried } = this;
    const most = Math.min(state.absentCount, MOST_RETRIES);
    if (most === 0) return 0;
    let count = 0;
    if (state.routeOf[seed]! < 0) tried[count++] = seed;
    if (state.absentCount <= MOST_RETRIES) {
      for (let at = 0; at < state.absentCount; at++) if (state.absent[at] !== seed) tried[count++] = state.absent[at]!;
      return count;
    }
    const first = Math.floor(random.next() * state.absentCount);
    for (let at = 0; count < most; at++) {
      const stop = state.absent[(first + at) % state.absentCount]!;
      if (stop !== seed) tried[count++] = stop;
    }
    return count;
  }

  private keepIfBest(): void {
    const { state, model } = this;
    this.fillUp();
    state.retotal();
    this.legTotal = Math.min(this.legTotal, state.total);
    if (state.total >= this.bestTotal) return;
    this.bestTotal = state.total;
    let at = 0;
    for (let route = 0; route < model.routeCount; route++) {
      for (let node = state.next[state.startOf(route)]!; node < model.stopCount; node = state.next[node]!) {
        this.best[at++] = node;
        this.bestRouteOf[node] = route;
      }
    }
    for (let left = 0; left < state.absentCount; left++) {
      this.best[at++] = state.absent[left]!;
      this.bestRouteOf[state.absent[left]!] = -1;
    }
  }

  /** Puts in, dearest first, what was left out by a blink or for want of another try, where that pays. */
  private fillUp(): void {
    const { state, tried, recreation } = this;
    const { absentPrice } = this.model;
    const count = state.absentCount;
    for (let at = 0; at < count; at++) tried[at] = state.absent[at]!;
    const dearestFirst = (one: number, other: number): number => absentPrice[other]! - absentPrice[one]! || one - other;
    for (const stop of tried.subarray(0, count).sort(dearestFirst)) recreation.insertBest(stop, 1, -1, false);
  }

  /** Puts in everything left out: fixed stops first, then in a random order. */
  private construct(): void {
    const { state, model, tried } = this;
    for (const fixed of [true, false]) {
      let count = 0;
      for (let at = 0; at < state.absentCount; at++) {
        const stop = state.absent[at]!;
        if ((model.pinnedRoute[stop]! >= 0) === fixed) tried[count++] = stop;
      }
      this.recreation.recreate(tried, count, 1, -1, Infinity);
    }
    state.retotal();
  }
}
