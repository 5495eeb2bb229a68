import gamma from '@stdlib/math-base-special-gamma';
import gammainc from '@stdlib/math-base-special-gammainc';
import type { WeibullLife } from './weibullLife.js';

export interface RenewalCosts extends WeibullLife {
  /** Cost of a planned replacement, and of one after a failure with all that follows, in one currency. */
  plannedCost: number;
  failureCost: number;
}

/**
 * `age` in the unit of `scale`, `costRate` in the currency per that unit; or why no age is worth replacing at.
 */
export type Renewal =
  { age: number; costRate: number } | { none: 'no-wear-out' | 'failure-no-dearer' | 'beyond-life' };

/** A part that outlives all but one in a billion needs no replacement age: T/η above (9 ln 10)^(1/β). */
const HAZARD_BEYOND_LIFE = 9 * Math.LN10;
const MAX_STEPS = 200;

/**
 * The age T at which replacing a working part costs least in the long run (age replacement; Barlow & Proschan
 * 1965): C(T) = [c_p R(T) + c_f F(T)] / ∫₀ᵀ R is least where h(T) ∫₀ᵀ R + R(T) = c_f/(c_f − c_p), and is then
 * (c_f − c_p) h(T). The left side rises from 1, so there is one such age if parts wear out (shape > 1) and a
 * failure costs more than a planned replacement. Found by bisection in (T/η)^β to rounding.
 * @throws RangeError naming the field, unless all four are above 0 and finite.
 */
export function renewalAge(costs: RenewalCosts): Renewal {
  for (const field of ['shape', 'scale', 'plannedCost', 'failureCost'] as const) {
    const value = costs[field];
    if (!(value > 0 && value < Infinity)) throw new RangeError(`${field} must be above 0, not ${value}`);
  }
  const { shape, scale, plannedCost, failureCost } = costs;
  if (shape <= 1) return { none: 'no-wear-out' };
  if (failureCost <= plannedCost) return { none: 'failure-no-dearer' };
  const inverse = 1 / shape;
  const mean = gamma(1 + inverse);
  const target = plannedCost / (failureCost - plannedCost);
  // In x = (T/η)^β: β x^(1−1/β) Γ(1+1/β) P(1/β, x) + e⁻ˣ − 1, the gain over its value at age 0.
  const gain = (x: number) => shape * x ** (1 - inverse) * mean * gammainc(x, inverse) + Math.expm1(-x);
  if (gain(HAZARD_BEYOND_LIFE) < target) return { none: 'beyond-life' };
  let low = 0;
  let high = HAZARD_BEYOND_LIFE;
  for (let step = 0; step < MAX_STEPS && high - low > 1e-15 * high; step++) {
    const middle = low > 0 && high > 4 * low ? Math.sqrt(low * high) : 0.5 * (low + high);
    if (gain(middle) < target) low = middle;
    else high = middle;
  }
  const age = scale * high ** inverse;
  return { age, costRate: ((failureCost - plannedCost) * shape * high ** (1 - inverse)) / scale };
}
