import type { Quantiles } from '../shared/quantiles.js';
import { cyclesAtDeviate, HORIZON_DAYS, MIN_LEVEL, Z90 } from './cycleSpread.js';
import type { DutyModel } from './types.js';

const MAX_STEPS = 60;
const TOLERANCE_DAYS = 1e-3;

/**
 * In how many days from the model's `asOf` will the door have made `cyclesToGo` more cycles?
 *
 * First passage, the mirror image of cyclesAhead: P(T ≤ t) = P(C(t) ≥ N), so the early date (p10) is where
 * the ninetieth percentile of the cycles meets N. Days of 24 h, to a thousandth of a day; 0 if `cyclesToGo` ≤
 * 0; HORIZON_DAYS if not reached by then. O(1), about ten evaluations each.
 * @throws RangeError if `cyclesToGo` is not a number.
 */
export function daysUntil(model: DutyModel, cyclesToGo: number): Quantiles {
  if (Number.isNaN(cyclesToGo)) throw new RangeError('cyclesToGo must be a number');
  if (cyclesToGo <= 0) return { p10: 0, p50: 0, p90: 0 };
  const p50 = passage(model, cyclesToGo, 0, cyclesToGo / Math.max(model.level, MIN_LEVEL));
  const p10 = passage(model, cyclesToGo, Z90, p50);
  const p90 = passage(model, cyclesToGo, -Z90, p50);
  return { p10: Math.min(p10, p50), p50, p90: Math.max(p90, p50) };
}

/**
 * Day at which the cycles at a deviate reach a number: secant steps kept inside a bracket that halves if they
 * dawdle.
 */
function passage(model: DutyModel, cycles: number, deviate: number, guess: number): number {
  if (cyclesAtDeviate(model, HORIZON_DAYS, deviate) < cycles) return HORIZON_DAYS;
  let low = 0;
  let high = HORIZON_DAYS;
  let day = Math.min(Math.max(guess, TOLERANCE_DAYS), HORIZON_DAYS);
  for (let step = 0; step < MAX_STEPS && high - low > TOLERANCE_DAYS; step++) {
    const reached = cyclesAtDeviate(model, day, deviate);
    if (reached >= cycles) high = day;
    else low = day;
    // The cycles are nearly a straight line through 0, so scaling the day by the shortfall is close to
    // Newton's step; a hair is added towards the far side so that both ends of the bracket close in.
    const scaled = reached > 0 ? (day * cycles) / reached : Infinity;
    const hair = Math.min(TOLERANCE_DAYS, day * 1e-6) * 0.4;
    const next = reached >= cycles ? scaled - hair : scaled + hair;
    const halved = low === 0 ? day / 2 : 0.5 * (low + high);
    const inside = (candidate: number) => candidate > low && candidate < high;
    if (step % 4 !== 3 && inside(next)) day = next;
    else day = inside(halved) ? halved : 0.5 * (low + high);
  }
  return high;
}
