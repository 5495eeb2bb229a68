/** Rolling elements of a bearing; they set the exponent of its life. */
export type BearingKind = 'ball' | 'roller';

/** Edition of ISO 281 for the life adjustment factor a1. */
export type BearingEdition = '2007' | '1990';

const exponent: Record<BearingKind, number> = { ball: 3, roller: 10 / 3 };

/**
 * Share of the life below which no bearing fails: Cγ of the 2007 edition (none in 1990). Its Weibull slope is
 * 1.5.
 */
const surestShare: Record<BearingEdition, number> = { '2007': 0.05, '1990': 0 };
const SLOPE = 1.5;

/**
 * Basic rating life of a rolling bearing in million revolutions, which nine in ten reach: L10 = (C/P)^p, p = 3
 * for balls, 10/3 for rollers (ISO 281). Dynamic rating C and equivalent load P in one unit of force.
 * @throws RangeError naming the force that is not above 0.
 */
export function bearingRatingLife(bearing: { kind: BearingKind; rating: number; load: number }): number {
  return (positive(bearing.rating, 'rating') / positive(bearing.load, 'load')) ** exponent[bearing.kind];
}

/** Million revolutions as operating hours at a speed in revolutions a minute. */
export function bearingHours(millionRevolutions: number, revolutionsPerMinute: number): number {
  return (millionRevolutions * 1e6) / (60 * positive(revolutionsPerMinute, 'revolutionsPerMinute'));
}

/** Million revolutions as door cycles, if the shaft turns so often in one cycle. */
export function bearingCycles(millionRevolutions: number, revolutionsPerCycle: number): number {
  return (millionRevolutions * 1e6) / positive(revolutionsPerCycle, 'revolutionsPerCycle');
}

/**
 * Life adjustment factor a1 for a reliability of 0.9 to below 1: the life that this share reaches, over L10.
 * The formula behind the tables: Cγ + (1 − Cγ)(ln R / ln 0.9)^(1/1.5) with Cγ = 0.05 in the edition of 2007, 0
 * in that of 1990.
 * @throws RangeError for a reliability outside.
 */
export function bearingLifeFactor(reliability: number, edition: BearingEdition = '2007'): number {
  if (!(reliability >= 0.9 && reliability < 1))
    throw new RangeError(`reliability must be 0.9 to below 1, not ${reliability}`);
  const surest = surestShare[edition];
  return surest + (1 - surest) * (Math.log(reliability) / Math.log(0.9)) ** (1 / SLOPE);
}

/**
 * The three-parameter Weibull law of bearing makers, lives in multiples of L10: x₀ = 0.02, θ = 4.459, b = 1.483
 * (Shigley's Mechanical Engineering Design).
 */
const MAKERS_LAW = { surest: 0.02, spread: 4.459 - 0.02, shape: 1.483 };

/**
 * Dynamic rating that a bearing needs to reach a life in million revolutions under a load, in the unit of the
 * load; with a reliability other than 0.9 by the makers' law.
 * @throws RangeError naming the field that is out of range.
 */
export function requiredBearingRating(need: {
  kind: BearingKind;
  load: number;
  millionRevolutions: number;
  reliability?: number;
}): number {
  const reliability = need.reliability ?? 0.9;
  if (!(reliability > 0 && reliability < 1)) {
    throw new RangeError(`reliability must be between 0 and 1, not ${reliability}`);
  }
  const { surest, spread, shape } = MAKERS_LAW;
  const shortened = reliability === 0.9 ? 1 : surest + spread * (-Math.log(reliability)) ** (1 / shape);
  const life = positive(need.millionRevolutions, 'millionRevolutions') / shortened;
  return positive(need.load, 'load') * life ** (1 / exponent[need.kind]);
}

/**
 * Chance that a bearing reaches a life in million revolutions, by the makers' law.
 * @throws RangeError naming the field that is not above 0.
 */
export function bearingReliability(
  bearing: { kind: BearingKind; rating: number; load: number },
  millionRevolutions: number,
): number {
  const { surest, spread, shape } = MAKERS_LAW;
  const life = positive(millionRevolutions, 'millionRevolutions') / bearingRatingLife(bearing);
  return Math.exp(-((Math.max(0, life - surest) / spread) ** shape));
}

function positive(value: number, field: string): number {
  if (!(value > 0 && value < Infinity)) throw new RangeError(`${field} must be above 0, not ${value}`);
  return value;
}
