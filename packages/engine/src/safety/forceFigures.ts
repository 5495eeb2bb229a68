import { CONTACT_THRESHOLD_NEWTON } from './forceLimits.js';
import { type ForceMarks, forceMarks } from './forceMarks.js';
import type { ForceReading, ForceReason, ForceSample, ForceLimitTable, Refusal } from './types.js';

/** Rounded times of a gauge that samples at just the least rate must not fail it. */
const RATE_SLACK = 0.995;
/** A step between samples over this many times the longest allowed one means lost samples (common practice, no source). */
const LOST_STEPS = 2;

export interface CurveReading extends ForceReading {
  samplingHertz: number;
  /** Absent where nothing was touched. */
  marks?: ForceMarks;
}

/**
 * The figures of a force–time curve, taken as recorded, without any filter: straight lines between the samples.
 *
 * Definitions of EN 12453:2022 annex C, read at second hand (T_d: time during which the force exceeds 150 N; F_d: greatest
 * force in it; T_t: time during which it exceeds 25 N; F_s: greatest force in T_t outside T_d), and where they leave a choice,
 * the strictest reading:
 * - `peakNewton`: the greatest force of the whole record, which is never less than F_d;
 * - `dynamicMs`: from the first rise above 150 N to the last fall below it, so that a bounce does not stop the clock;
 * - `staticNewton`: the greatest force later than the time allowed for the dynamic period (0.75 s) after that rise, up to 5 s
 *   after the contact began; where 150 N is never exceeded, 0.75 s after the contact began;
 * - `residualNewton`: the greatest force from 5 s after the contact began (first rise above 25 N) to the end of the record;
 *   where the record ends earlier, the force at its end. That is enough if the force has fallen to 25 N by then, since T_t has
 *   ended; else the record is too short.
 *
 * O(samples). Times ms, rising strictly, from any origin; forces N.
 * @returns figures with what the record lacks as evidence; or `no-samples` (fewer than two), `not-a-number`, `time-not-rising`
 * with the index of the sample, from 0.
 */
export function forceFigures(
  curve: readonly ForceSample[],
  table: ForceLimitTable,
): CurveReading | Refusal<'no-samples' | 'not-a-number' | 'time-not-rising'> {
  if (curve.length < 2) return { refused: 'no-samples', facts: { samples: curve.length, least: 2 } };
  for (const [sample, { ms, newton }] of curve.entries()) {
    if (!Number.isFinite(ms) || !Number.isFinite(newton)) return { refused: 'not-a-number', facts: { sample } };
    if (sample > 0 && ms <= curve[sample - 1]!.ms) return { refused: 'time-not-rising', facts: { sample, ms } };
  }
  const { samplingHertz, shortfalls } = sampling(curve, table);
  const { rows } = table;
  const marks = forceMarks(curve, { dynamicMs: rows.dynamic.value, residualAfterMs: rows['residual-after'].value });
  const peakNewton = curve.reduce((highest, { newton }) => Math.max(highest, newton), -Infinity);
  if (marks === undefined) {
    shortfalls.push({ code: 'no-contact', facts: { peakNewton, thresholdNewton: CONTACT_THRESHOLD_NEWTON } });
    const touched = Math.max(0, peakNewton);
    const figures = { peakNewton: touched, dynamicMs: 0, staticNewton: touched, residualNewton: touched };
    return { figures, shortfalls, samplingHertz };
  }
  const late = lateForces(curve, marks);
  shortfalls.push(...late.shortfalls);
  const figures = {
    peakNewton,
    dynamicMs: marks.dynamic ? marks.dynamic.toMs - marks.dynamic.fromMs : 0,
    staticNewton: late.staticNewton,
    residualNewton: late.residualNewton,
  };
  return { figures, shortfalls, samplingHertz, marks };
}

/** Static and residual force, and whether the record is long enough to show them. */
function lateForces(
  curve: readonly ForceSample[],
  { contactAtMs, staticFromMs, residualFromMs }: ForceMarks,
): { staticNewton: number; residualNewton: number; shortfalls: ForceReason[] } {
  const last = curve.at(-1)!;
  const recordedMs = last.ms - contactAtMs;
  const atEnd = Math.max(0, last.newton);
  const shortfalls: ForceReason[] = [];
  if (last.ms < staticFromMs) {
    shortfalls.push({ code: 'static-phase-not-seen', facts: { recordedMs, neededMs: staticFromMs - contactAtMs } });
  }
  if (last.ms < residualFromMs && last.newton > CONTACT_THRESHOLD_NEWTON) {
    shortfalls.push({ code: 'record-too-short', facts: { recordedMs, neededMs: residualFromMs - contactAtMs } });
  }
  return {
    staticNewton: last.ms < staticFromMs ? atEnd : greatestBetween(curve, staticFromMs, Math.min(residualFromMs, last.ms)),
    residualNewton: last.ms < residualFromMs ? atEnd : greatestBetween(curve, residualFromMs, last.ms),
    shortfalls,
  };
}

function sampling(
  curve: readonly ForceSample[],
  table: ForceLimitTable,
): { samplingHertz: number; shortfalls: ForceReason[] } {
  const leastHertz = table.rows['gauge-sampling'].value;
  const samplingHertz = ((curve.length - 1) * 1000) / (curve.at(-1)!.ms - curve[0]!.ms);
  let longest = 1;
  const step = (index: number): number => curve[index]!.ms - curve[index - 1]!.ms;
  for (let index = 2; index < curve.length; index++) if (step(index) > step(longest)) longest = index;
  const mostMs = (LOST_STEPS * 1000) / leastHertz;
  const shortfalls: ForceReason[] = [];
  if (samplingHertz < leastHertz * RATE_SLACK) {
    shortfalls.push({ code: 'sampling-too-slow', facts: { hertz: samplingHertz, leastHertz } });
  } else if (step(longest) > mostMs) {
    const facts = { gapMs: step(longest), mostMs, afterMs: curve[longest - 1]!.ms };
    shortfalls.push({ code: 'samples-missing', facts });
  }
  return { samplingHertz, shortfalls };
}

/** Greatest force of the straight-line curve within [fromMs, toMs], not below 0. */
function greatestBetween(curve: readonly ForceSample[], fromMs: number, toMs: number): number {
  let greatest = 0;
  for (let index = 1; index < curve.length; index++) {
    const before = curve[index - 1]!;
    const after = curve[index]!;
    if (after.ms < fromMs || before.ms > toMs) continue;
    const at = (ms: number): number =>
      before.newton + ((ms - before.ms) / (after.ms - before.ms)) * (after.newton - before.newton);
    greatest = Math.max(greatest, at(Math.max(before.ms, fromMs)), at(Math.min(after.ms, toMs)));
  }
  return greatest;
}
