import type { RouteModel } from './model.js';
import type { PlanState } from './planState.js';
import type { RandomStream } from './random.js';

/** The longest string taken from one route (paper: 10). On routes of twenty stops and more, longer ones led to better plans here. */
const LONGEST_STRING = 30;
/** Of a small problem no more than this share goes, or every iteration would start from nothing. */
const MOST_REMOVED_SHARE = 0.2;
/** Chance that a string keeps some stops in its middle, and that it keeps one more each time (paper's values). */
const SPLIT_CHANCE = 0.5;
const DEEPER_SPLIT_CHANCE = 0.01;

/**
 * Ruin by adjacent string removal: takes strings of neighbouring stops out of a few routes near a random stop, so that
 * slack appears in several routes at one place.
 * J. Christiaens, G. Vanden Berghe, Slack Induction by String Removals for Vehicle Routing Problems,
 * Transportation Science 54(2), 2020, section 4.
 */
export class StringRemoval {
  private readonly ruinedIn: Float64Array;
  private readonly averageRemoved: number;
  private turn = 0;

  constructor(
    private readonly model: RouteModel,
    private readonly state: PlanState,
    private readonly random: RandomStream,
    averageRemoved: number,
  ) {
    this.ruinedIn = new Float64Array(model.routeCount);
    this.averageRemoved = Math.min(averageRemoved, 1 + MOST_REMOVED_SHARE * model.stopCount);
  }

  /** Removes strings near the stop `seed`. O(neighbours + length of the ruined routes). */
  ruin(seed: number): void {
    const { model, state, random } = this;
    const served = model.stopCount - state.absentCount;
    if (served === 0) return;
    this.turn++;
    const longest = Math.min(LONGEST_STRING, served / state.used.count);
    const mostStrings = Math.max(1, (4 * this.averageRemoved) / (1 + longest) - 1);
    let strings = Math.floor(random.next() * mostStrings + 1);
    const first = seed * model.neighbourCount;
    for (let rank = 0; rank < model.neighbourCount && strings > 0; rank++) {
      const stop = model.neighbours[first + rank]!;
      const route = state.routeOf[stop]!;
      if (route < 0 || this.ruinedIn[route] === this.turn) continue;
      this.ruinedIn[route] = this.turn;
      strings--;
      const length = Math.floor(random.next() * Math.min(state.length[route]!, longest) + 1);
      this.removeString(stop, route, Math.min(length, state.length[route]!));
    }
  }

  /** Empties a route, so that its stops must find room elsewhere. O(length). */
  removeRoute(route: number): void {
    const { state } = this;
    state.touch(route);
    const start = state.startOf(route);
    while (state.length[route]! > 0) state.unlink(state.next[start]!);
    state.reschedule(route);
  }

  /** Removes `length` stops around `stop`; a split string spans more and keeps some in its middle. */
  private removeString(stop: number, route: number, length: number): void {
    const { state, random } = this;
    const routeLength = state.length[route]!;
    let kept = 0;
    if (length > 1 && length < routeLength && random.next() < SPLIT_CHANCE) {
      kept = 1;
      while (length + kept < routeLength && random.next() < DEEPER_SPLIT_CHANCE) kept++;
    }
    const span = length + kept;
    let position = 0;
    for (let node = state.previous[stop]!; node < this.model.stopCount; node = state.previous[node]!) position++;
    const lowest = Math.max(0, position - span + 1);
    const highest = Math.min(position, routeLength - span);
    const begin = lowest + Math.floor(random.next() * (highest - lowest + 1));
    const keptFrom = kept > 0 ? 1 + Math.floor(random.next() * (length - 1)) : span;
    state.touch(route);
    let node = stop;
    for (let back = position - begin; back > 0; back--) node = state.previous[node]!;
    for (let at = 0; at < span; at++) {
      const following = state.next[node]!;
      if (at < keptFrom || at >= keptFrom + kept) state.unlink(node);
      node = following;
    }
    state.reschedule(route);
  }
}
