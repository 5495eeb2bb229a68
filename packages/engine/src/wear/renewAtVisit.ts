import type { DutyNodes } from '../duty/index.js';
import { chanceOfFailure } from './chanceOfFailure.js';
import { checkCosts, uptime } from './renewalPlan.js';
import type { RenewalPlan, ReplacementCosts } from './renewalPlan.js';
import { cumulativeHazard } from './survivalTable.js';
import type { WearModel } from './types.js';

/** What to do with a working part while one is there, in money, with what the sentence needs. */
export interface VisitDecision {
  decision: 'replace' | 'leave';
  /** Chance that it fails before the next visit. */
  chance: number;
  /** Expected extra cost of its failing by then: (failure − planned cost) × chance. */
  riskCost: number;
  /** Cost of the life thrown away by replacing it now: what the life it would give until then is worth. */
  lifeCost: number;
}

/**
 * Replace a working part at this visit, or leave it until the next, `daysToNext` later? Marginal rule of the
 * renewal reward theorem (Barlow & Proschan 1965): a unit of part life is worth the cost rate g of the best
 * plan; leaving the part saves g × E[min(remaining life, time to the next visit)] and risks (c_f − c_p) ×
 * P(failure by then). Replace if it risks more than it saves. As the visits come closer together this becomes
 * the optimal replacement age of `renewalPlan`.
 *
 * Where the plan knows no age worth replacing at, the part is left, whatever its age: g is then the rate of
 * running to failure, which the plan has found as good as any other to one part in a thousand, and two nearly
 * equal sums must not say otherwise. `riskCost` may then exceed `lifeCost` by a hair.
 *
 * `duty` gives the cycles until the next visit for a model in cycles. Both sides are averaged over its nodes.
 * O(nodes).
 * @throws RangeError if `age` or `daysToNext` is not at least 0, a cost not above 0, or duty is missing for
 * cycles.
 */
export function renewAtVisit(
  model: WearModel,
  age: number,
  duty: DutyNodes | null,
  daysToNext: number,
  costs: ReplacementCosts,
  plan: RenewalPlan,
): VisitDecision {
  checkCosts(costs);
  if (!(daysToNext >= 0)) throw new RangeError(`daysToNext must be 0 or more, not ${daysToNext}`);
  if (model.unit === 'cycles' && duty === null)
    throw new RangeError('duty is needed for a part that ages by cycles');
  let chance = 0;
  let life = 0;
  const nodes = model.unit === 'cycles' ? duty!.weights.length : 1;
  const reached = cumulativeHazard(model.table, age);
  for (let node = 0; node < nodes; node++) {
    const further = model.unit === 'cycles' ? duty!.cyclesAt(daysToNext, node) : daysToNext;
    const weight = model.unit === 'cycles' ? duty!.weights[node]! : 1;
    chance += weight * chanceOfFailure(model, age, further);
    life += weight * uptime(model, age, age + further, reached);
  }
  const riskCost = Math.max(0, costs.failureCost - costs.plannedCost) * chance;
  const lifeCost = ('none' in plan ? plan.toFailure : plan.costRate) * life;
  const replace = !('none' in plan) && riskCost > lifeCost;
  return { decision: replace ? 'replace' : 'leave', chance, riskCost, lifeCost };
}
