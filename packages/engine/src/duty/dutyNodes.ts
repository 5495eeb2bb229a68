import { cyclesAtDeviate, cyclesAtDeviates } from './cycleSpread.js';
import type { DutyModel } from './types.js';

/**
 * Five-point Gauss–Hermite rule for a standard normal: exact for polynomials to degree nine (Abramowitz &
 * Stegun 25.4.46).
 */
const DEVIATES = new Float64Array([
  -2.8569700138728056, -1.355626179974266, 0, 1.355626179974266, 2.8569700138728056,
]);
const WEIGHTS = new Float64Array([
  0.011257411327720693, 0.22207592200561266, 0.5333333333333333, 0.22207592200561266, 0.011257411327720693,
]);

/**
 * A few doors in place of one uncertain one: each works at its own pace, and stands for its weight of the
 * chances.
 */
export interface DutyNodes {
  /** Weights of the nodes; they sum to 1. Shared: do not write to it. */
  weights: Float64Array;
  /**
   * Further cycles at `daysAhead` (0 to HORIZON_DAYS) on node 0 ... weights.length − 1; rises in either
   * argument (the outermost nodes but for parts of a cycle).
   */
  cyclesAt(daysAhead: number, node: number): number;
  /** The same for all nodes at once, written into `cycles`, which is at least as long as `weights`. */
  cyclesInto(daysAhead: number, cycles: Float64Array): void;
}

/**
 * A cheap deterministic stand-in for the distribution of further cycles at any horizon, to average a part's
 * survival over the duty: Σ weights[i] · f(cyclesAt(days, i)) ≈ E f(C(days)). O(1).
 */
export function dutyNodes(model: DutyModel): DutyNodes {
  return {
    weights: WEIGHTS,
    cyclesAt: (daysAhead, node) => cyclesAtDeviate(model, daysAhead, DEVIATES[node]!),
    cyclesInto: (daysAhead, cycles) => cyclesAtDeviates(model, daysAhead, DEVIATES, cycles),
  };
}
