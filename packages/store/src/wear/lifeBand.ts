import type { WearModel } from '@lintel/engine';

export interface LifeBand {
  age: number;
  low: number;
  high: number;
}

/** Nine laws in ten lie between. */
const LOW = 0.05;
const HIGH = 0.95;

/**
 * Age by which a share of new parts has failed: the median of a model's weighted laws, and between which ages nine in ten of them
 * put it.
 */
export function lifeBand({ shapes, scales, weights }: WearModel, share: number): LifeBand {
  const hazard = -Math.log1p(-share);
  const ages = Array.from(shapes, (shape, law) => ({ age: scales[law]! * hazard ** (1 / shape), weight: weights[law]! }));
  ages.sort((a, b) => a.age - b.age);
  return { age: quantile(ages, 0.5), low: quantile(ages, LOW), high: quantile(ages, HIGH) };
}

/** On straight lines between the middles of the weights: a grid of laws then has no steps. */
function quantile(sorted: readonly { age: number; weight: number }[], probability: number): number {
  let sum = 0;
  let before: { at: number; age: number } | null = null;
  for (const { age, weight } of sorted) {
    const at = sum + weight / 2;
    if (at >= probability) {
      if (before === null || at === before.at) return age;
      return before.age + ((age - before.age) * (probability - before.at)) / (at - before.at);
    }
    before = { at, age };
    sum += weight;
  }
  return before!.age;
}
