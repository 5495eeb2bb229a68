import { cumulativeHazard } from './survivalTable.js';
import type { WearModel } from './types.js';

/** Costs in one currency. */
export interface ReplacementCosts {
  /** Of a planned replacement. */
  plannedCost: number;
  /** Of a failure with all that follows: the call, the stopped dock, the cold lost, the replacement itself. */
  failureCost: number;
}

/** A cost rate at a replacement age: currency per unit of age. */
export interface CostPoint {
  age: number;
  costRate: number;
}

/** `toFailure`: the cost rate when every part runs to failure. */
export type RenewalPlan =
  | { age: number; costRate: number; toFailure: number }
  | { none: 'run-to-failure' | 'failure-no-dearer'; toFailure: number };

/** A plan must save at least this share of running to failure to be worth a rule. */
const LEAST_SAVING = 1e-3;
const GOLDEN = 0.6180339887498949;

/**
 * Replacement age of least cost under a wear model, all its laws averaged: C(T) = [c_p S̄(T) + c_f (1 − S̄(T))]
 * / ∫₀ᵀ S̄, the form of Barlow & Proschan (1965) for any law. The least of some 320 ages is refined by golden
 * section; running to failure is the answer where that costs no more. O(320).
 * @throws RangeError naming the cost that is not above 0.
 */
export function renewalPlan(model: WearModel, costs: ReplacementCosts): RenewalPlan {
  checkCosts(costs);
  const { ages, uptimes } = uptimeCurve(model);
  const last = ages.length - 1;
  const toFailure = costs.failureCost / uptimes[last]!;
  if (costs.failureCost <= costs.plannedCost) return { none: 'failure-no-dearer', toFailure };
  let best = 0;
  let least = Infinity;
  for (let i = 0; i <= last; i++) {
    const rate = costRate(model, costs, ages[i]!, uptimes[i]!);
    if (rate < least) [best, least] = [i, rate];
  }
  const from = Math.max(0, best - 1);
  const rateAt = (age: number) => costRate(model, costs, age, uptimes[from]! + uptime(model, ages[from]!, age));
  let [low, high] = [ages[from]!, ages[Math.min(last, best + 1)]!];
  while (high - low > 1e-7 * high) {
    const [x, y] = [high - GOLDEN * (high - low), low + GOLDEN * (high - low)];
    if (rateAt(x) < rateAt(y)) high = y;
    else low = x;
  }
  const age = 0.5 * (low + high);
  const rate = rateAt(age);
  return rate < toFailure * (1 - LEAST_SAVING)
    ? { age, costRate: rate, toFailure }
    : { none: 'run-to-failure', toFailure };
}

/** Cost rate against replacement age at `count` even ages up to `until`, for a chart. O(320 + count). */
export function costRateCurve(
  model: WearModel,
  costs: ReplacementCosts,
  until: number,
  count = 100,
): CostPoint[] {
  checkCosts(costs);
  if (!(until > 0 && until < Infinity)) throw new RangeError(`until must be above 0, not ${until}`);
  const points: CostPoint[] = [];
  let sum = 0;
  for (let i = 1; i <= count; i++) {
    const age = (i * until) / count;
    sum += uptime(model, ((i - 1) * until) / count, age);
    points.push({ age, costRate: costRate(model, costs, age, sum) });
  }
  return points;
}

/** Mean working time of new parts up to the ages of the model's table. */
function uptimeCurve(model: WearModel): { ages: Float64Array; uptimes: Float64Array } {
  const { start, step, logHazard } = model.table;
  const ages = Float64Array.from(logHazard, (_, i) => Math.exp(start + i * step));
  const uptimes = new Float64Array(ages.length);
  let sum = 0;
  ages.forEach((age, i) => {
    sum += uptime(model, i === 0 ? 0 : ages[i - 1]!, age);
    uptimes[i] = sum;
  });
  return { ages, uptimes };
}

/**
 * ∫ S̄ from one age to another, by Simpson's rule over eight panels; of parts that have come to the cumulative
 * hazard `reached` where that is given (S̄ alone is 0 to the computer at ages that some part may still reach).
 */
export function uptime(model: WearModel, from: number, to: number, reached = 0): number {
  const panels = 8;
  const width = (to - from) / panels;
  let sum = 0;
  for (let i = 0; i <= panels; i++) {
    const factor = i === 0 || i === panels ? 1 : i % 2 === 1 ? 4 : 2;
    sum += factor * Math.exp(reached - cumulativeHazard(model.table, from + i * width));
  }
  return (sum * width) / 3;
}

function costRate(model: WearModel, costs: ReplacementCosts, age: number, meanUptime: number): number {
  const survived = Math.exp(-cumulativeHazard(model.table, age));
  return (costs.plannedCost * survived + costs.failureCost * (1 - survived)) / meanUptime;
}

/** @throws RangeError naming the cost that is not above 0. */
export function checkCosts(costs: ReplacementCosts): void {
  for (const field of ['plannedCost', 'failureCost'] as const) {
    if (!(costs[field] > 0 && costs[field] < Infinity))
      throw new RangeError(`${field} must be above 0, not ${costs[field]}`);
  }
}
