import { buildRouteModel } from './buildRouteModel.js';
import { checkRouteProblem } from './checkRouteProblem.js';
import { RouteSearch } from './routeSearch.js';
import { readStartPlan } from './startPlan.js';
import type { PlannedRoute, RouteFault, RouteFaults, RoutePlan, RouteProblem } from './types.js';
import { writePlan } from './writePlan.js';

/** How long to search: so many iterations (the answer is then the same everywhere), or so long by the caller's clock. */
export type RouteBudget = { iterations: number } | { seconds: number; nowMs: () => number };

export interface RouteSearchOptions {
  /** Any finite number. */
  seed: number;
  budget: RouteBudget;
  /** A plan to improve on: the answer is never worse than what of it is possible. */
  start?: readonly PlannedRoute[];
  /** Iterations between two looks at the clock, at `cancelled` and at the caller; 128 when absent. */
  sliceIterations?: number;
}

export interface RouteProgress {
  /** Part of the budget behind us, 0 … 1. */
  fraction: number;
  iterations: number;
  /** The best plan so far. O(stops · routes) when asked. */
  best: () => RouteSolution | RouteFaults;
}

export interface RouteSolution extends RoutePlan {
  iterations: number;
}

const SLICE_ITERATIONS = 128;

/**
 * Searches in slices: each `next()` runs one and hands back how far it is and the best plan so far; `return()` between
 * two slices ends it. A worker thread drives it this way and stays able to hear messages. The value at the end is the
 * best plan, or what is wrong with the problem.
 *
 * The plan minimises travel, shifts driven, lateness, shift prices and the prices of what is left out, with skills,
 * loads, hours, windows and fixed stops kept; a stop without a price is left out only where it fits nowhere. Service
 * starts within a window (it may end after it); routes leave home at the shift's start and wait where they are early.
 *
 * Method: ruin and recreate (see `StringRemoval`, `Recreation`, `RegretInsertion`) under simulated annealing, in
 * legs: fresh starts, and the best plan so far cooled again (see `AnnealingLeg`).
 */
export function* routeSlices(
  problem: RouteProblem,
  options: RouteSearchOptions,
): Generator<RouteProgress, RouteSolution | RouteFaults, void> {
  const faults = checkRouteProblem(problem);
  if (faults.length > 0) return { faults };
  const model = buildRouteModel(problem);
  const start = options.start && readStartPlan(model, options.start);
  if (start && 'faults' in start) return start;
  const { budget, sliceIterations = SLICE_ITERATIONS } = options;
  const startedMs = 'seconds' in budget ? budget.nowMs() : 0;
  const search = new RouteSearch(model, options.seed, start?.routes);
  const fractionNow = (iterations: number): number =>
    'seconds' in budget
      ? budget.seconds > 0
        ? (budget.nowMs() - startedMs) / (1000 * budget.seconds)
        : 1
      : iterations / budget.iterations;
  let fraction = fractionNow(0);
  while (fraction < 1 && search.canSearch) {
    const fixed = fraction;
    const left = 'iterations' in budget ? budget.iterations - search.iterations : Infinity;
    search.step(Math.min(sliceIterations, left), 'seconds' in budget ? () => fixed : fractionNow);
    fraction = fractionNow(search.iterations);
    yield {
      fraction: Math.min(1, fraction),
      iterations: search.iterations,
      best: () => finish(search),
    };
  }
  return finish(search);
}

/**
 * Runs `routeSlices` to its end. `onProgress` is called after every slice; `cancelled` is asked after every slice and
 * ends the search with the best plan so far.
 */
export function solveRoutes(
  problem: RouteProblem,
  options: RouteSearchOptions & { onProgress?: (progress: RouteProgress) => void; cancelled?: () => boolean },
): RouteSolution | RouteFaults {
  const slices = routeSlices(problem, options);
  for (;;) {
    const slice = slices.next();
    if (slice.done) return slice.value;
    options.onProgress?.(slice.value);
    if (options.cancelled?.()) return slice.value.best();
  }
}

function finish(search: RouteSearch): RouteSolution | RouteFaults {
  const state = search.bestState();
  const { model } = state;
  const faults: RouteFault[] = [];
  for (let stop = 0; stop < model.stopCount; stop++) {
    if (model.pinnedRoute[stop]! >= 0 && state.routeOf[stop]! < 0) {
      const { id } = model.problem.stops[stop]!;
      faults.push({ path: ['stops', stop, 'fixed'], code: 'fixed-cannot-be-kept', facts: { id } });
    }
  }
  return faults.length > 0 ? { faults } : { ...writePlan(state), iterations: search.iterations };
}
