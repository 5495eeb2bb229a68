import type { PositionCosts, RenewalPlanView } from '@lintel/contract';
import { renewalPlan } from '@lintel/engine';
import type { RenewalPlan, ReplacementCosts, WearModel } from '@lintel/engine';

export const costsOf = ({ plannedCost, failureCost }: PositionCosts): ReplacementCosts => ({ plannedCost, failureCost });

/** A plan as it goes on the wire. */
export function planView(plan: RenewalPlan): RenewalPlanView {
  return 'none' in plan
    ? { age: null, costRate: null, toFailure: plan.toFailure, none: plan.none }
    : { age: plan.age, costRate: plan.costRate, toFailure: plan.toFailure, none: null };
}

const plans = new WeakMap<WearModel, Map<string, RenewalPlan>>();

/** Replacement age of least cost under a model; kept beside it, for it is asked again for every door. */
export function planOf(model: WearModel, costs: ReplacementCosts): RenewalPlan {
  const known = plans.get(model) ?? new Map<string, RenewalPlan>();
  plans.set(model, known);
  const key = `${costs.plannedCost}/${costs.failureCost}`;
  const plan = known.get(key) ?? renewalPlan(model, costs);
  known.set(key, plan);
  return plan;
}
