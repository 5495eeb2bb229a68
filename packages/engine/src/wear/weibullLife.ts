import gamma from '@stdlib/math-base-special-gamma';
import gammainc from '@stdlib/math-base-special-gammainc';

/** A two-parameter Weibull law: F(t) = 1 − exp(−(t/scale)^shape). */
export interface WeibullLife {
  shape: number;
  /** Characteristic life, by which 63.2 % have failed; in any unit of age, which every answer then has. */
  scale: number;
}

/** Chance that a part which runs at `age` fails within `further` more. */
export function weibullChance(life: WeibullLife, age: number, further: number): number {
  return -Math.expm1((age / life.scale) ** life.shape - ((age + further) / life.scale) ** life.shape);
}

/**
 * Remaining life by which a share `probability` (0 to below 1) of parts that run at `age` has failed; at age 0
 * the B-life.
 */
export function weibullRemaining(life: WeibullLife, age: number, probability: number): number {
  const hazard = (age / life.scale) ** life.shape - Math.log1p(-probability);
  return life.scale * hazard ** (1 / life.shape) - age;
}

/**
 * Mean remaining life of parts that run at `age`: ∫ S / S(age) = η Γ(1 + 1/β) Q(1/β, z) eᶻ with z = (age/η)^β.
 */
export function weibullMeanRemaining(life: WeibullLife, age: number): number {
  const hazard = (age / life.scale) ** life.shape;
  const mean = life.scale * gamma(1 + 1 / life.shape);
  // Far in the tail the product is 0 · ∞; there the mean remaining life tends to one over the hazard rate.
  if (hazard > 500) return life.scale / (life.shape * (age / life.scale) ** (life.shape - 1));
  return mean * gammainc(hazard, 1 / life.shape, true, true) * Math.exp(hazard);
}
