import { CONTACT_THRESHOLD_NEWTON, defaultForceLimits, DYNAMIC_THRESHOLD_NEWTON } from './forceLimits.js';
import type { ForceFigures, ForceLimitRow, ForceSample } from './types.js';

/** Times on the curve, ms, for whoever draws it. */
export interface ForceMarks {
  contactAtMs: number;
  /** The dynamic period; absent where the force never exceeds its threshold. */
  dynamic?: { fromMs: number; toMs: number };
  staticFromMs: number;
  residualFromMs: number;
}

/** The limit that holds over a stretch of a curve. */
export interface LimitStep {
  of: 'peak' | 'static' | 'residual';
  newton: number;
  fromMs: number;
  toMs: number;
}

/**
 * Where the phases of a curve begin: see `forceFigures`, whose figures rest on them. O(samples). Times ms, rising strictly.
 * @returns undefined where nothing was touched: the force never exceeds the contact threshold.
 */
export function forceMarks(
  curve: readonly ForceSample[],
  after: { dynamicMs: number; residualAfterMs: number },
): ForceMarks | undefined {
  const contactAtMs = firstRise(curve, CONTACT_THRESHOLD_NEWTON);
  if (contactAtMs === undefined) return undefined;
  const dynamicFromMs = firstRise(curve, DYNAMIC_THRESHOLD_NEWTON);
  return {
    contactAtMs,
    ...(dynamicFromMs !== undefined && { dynamic: { fromMs: dynamicFromMs, toMs: lastFall(curve) } }),
    staticFromMs: (dynamicFromMs ?? contactAtMs) + after.dynamicMs,
    residualFromMs: contactAtMs + after.residualAfterMs,
  };
}

/** From how long after the contact, ms, the residual limit holds by the rows that judged a test; where they lack it, by the table that ships. */
export function residualAfterMs(rows: readonly (ForceLimitRow & { id: string })[]): number {
  return (rows.find(({ id }) => id === 'residual-after') ?? defaultForceLimits.rows['residual-after']).value;
}

/** The limits of a curve as steps to draw, within [fromMs, toMs]; where nothing was touched, that of the peak all along. */
export function limitSteps(limits: ForceFigures, marks: ForceMarks | undefined, fromMs: number, toMs: number): LimitStep[] {
  const staticFromMs = marks?.staticFromMs ?? toMs;
  const residualFromMs = marks?.residualFromMs ?? toMs;
  const steps: LimitStep[] = [
    { of: 'peak', newton: limits.peakNewton, fromMs, toMs: staticFromMs },
    { of: 'static', newton: limits.staticNewton, fromMs: staticFromMs, toMs: residualFromMs },
    { of: 'residual', newton: limits.residualNewton, fromMs: residualFromMs, toMs },
  ];
  return steps.filter((step) => step.fromMs < toMs).map((step) => ({ ...step, toMs: Math.min(step.toMs, toMs) }));
}

/** The same as one stepped line. */
export function limitLine(limits: ForceFigures, marks: ForceMarks | undefined, fromMs: number, toMs: number): ForceSample[] {
  return limitSteps(limits, marks, fromMs, toMs).flatMap((step) => [{ ms: step.fromMs, newton: step.newton }, { ms: step.toMs, newton: step.newton }]);
}

/**
 * A curve for drawing, of at most `most` samples (4 or more): of each stretch its least and its greatest force, in the order
 * of time, and both ends, so that no peak is lost. O(samples).
 */
export function thinnedCurve(curve: readonly ForceSample[], most: number): readonly ForceSample[] {
  if (curve.length <= most) return curve;
  const stretch = Math.ceil((curve.length - 2) / (most / 2 - 1));
  const kept = [curve[0]!];
  for (let from = 1; from < curve.length - 1; from += stretch) {
    const part = curve.slice(from, Math.min(from + stretch, curve.length - 1));
    let least = part[0]!;
    let greatest = part[0]!;
    for (const sample of part) {
      if (sample.newton < least.newton) least = sample;
      if (sample.newton > greatest.newton) greatest = sample;
    }
    kept.push(...(least.ms < greatest.ms ? [least, greatest] : least === greatest ? [least] : [greatest, least]));
  }
  kept.push(curve.at(-1)!);
  return kept;
}

/** When the force first rises above a threshold; at the first sample if it is above it already; undefined: never. */
function firstRise(curve: readonly ForceSample[], threshold: number): number | undefined {
  const above = curve.findIndex(({ newton }) => newton > threshold);
  if (above <= 0) return curve[above]?.ms;
  return crossing(curve[above - 1]!, curve[above]!, threshold);
}

/** When the force last falls below the dynamic threshold; the end of the record if it is still above. */
function lastFall(curve: readonly ForceSample[]): number {
  const above = curve.findLastIndex(({ newton }) => newton > DYNAMIC_THRESHOLD_NEWTON);
  const next = curve[above + 1];
  return next === undefined ? curve[above]!.ms : crossing(curve[above]!, next, DYNAMIC_THRESHOLD_NEWTON);
}

function crossing(from: ForceSample, to: ForceSample, newton: number): number {
  return from.ms + ((newton - from.newton) / (to.newton - from.newton)) * (to.ms - from.ms);
}
