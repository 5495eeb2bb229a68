import { forceLimitsAt } from './forceLimits.js';
import type {
  ForceFigures,
  ForceLimits,
  ForceLimitTable,
  ForcePlace,
  ForceReading,
  ForceReason,
  ForceVerdict,
  Refusal,
} from './types.js';

/** A value at its limit must not fail for the rounding of a mean or of a crossing. */
const ROUNDING = 1e-9;

export type ForceRefusal = Refusal<
  'not-a-gap' | 'gap-below-range' | 'no-readings' | 'not-a-figure' | 'greater-than-peak'
>;

/** Typed figures as a reading: what a gauge shows instead of a curve. */
export function typedReading(figures: ForceFigures): ForceReading {
  return { figures, shortfalls: [] };
}

/**
 * The verdict on one reading: each figure at most its limit at that place. A record that lacks evidence is never passed.
 * @returns `not-a-figure` for a negative or non-finite figure, `greater-than-peak` for a static or residual force above the
 * peak, and the refusals of `forceLimitsAt`.
 */
export function judgeForce(
  reading: ForceReading,
  place: ForcePlace,
  table: ForceLimitTable,
): ForceVerdict | ForceRefusal {
  const limits = forceLimitsAt(place, table);
  if ('refused' in limits) return limits;
  const fault = figureFault(reading.figures);
  if (fault) return fault;
  const reasons = [...overLimits(reading.figures, limits), ...reading.shortfalls];
  return { passed: reasons.length === 0, figures: reading.figures, limits, reasons };
}

/**
 * The verdict on one measuring point: the mean of each figure over all its readings counts (EN 12453:2017 annex C, second
 * hand), three readings at least. A shortfall of any one of them is one of the point.
 */
export function judgePoint(
  readings: readonly ForceReading[],
  place: ForcePlace,
  table: ForceLimitTable,
): ForceVerdict | ForceRefusal {
  if (readings.length === 0) return { refused: 'no-readings', facts: {} };
  for (const { figures } of readings) {
    const fault = figureFault(figures);
    if (fault) return fault;
  }
  const mean = (figure: keyof ForceFigures): number =>
    readings.reduce((sum, { figures }) => sum + figures[figure], 0) / readings.length;
  const shortfalls = readings.flatMap(({ shortfalls }, index) =>
    shortfalls.map(({ code, facts }): ForceReason => ({ code, facts: { ...facts, reading: index + 1 } })),
  );
  const needed = table.rows.readings.value;
  if (readings.length < needed) {
    shortfalls.push({ code: 'readings-missing', facts: { readings: readings.length, needed } });
  }
  const figures = {
    peakNewton: mean('peakNewton'),
    dynamicMs: mean('dynamicMs'),
    staticNewton: mean('staticNewton'),
    residualNewton: mean('residualNewton'),
  };
  return judgeForce({ figures, shortfalls }, place, table);
}

function figureFault(figures: ForceFigures): Refusal<'not-a-figure' | 'greater-than-peak'> | undefined {
  const { peakNewton } = figures;
  for (const [figure, value] of Object.entries(figures) as [keyof ForceFigures, number][]) {
    if (!(Number.isFinite(value) && value >= 0)) return { refused: 'not-a-figure', facts: { figure, value } };
    const force = figure === 'staticNewton' || figure === 'residualNewton';
    if (force && exceeds(value, peakNewton)) return { refused: 'greater-than-peak', facts: { figure, value, peakNewton } };
  }
  return undefined;
}

function overLimits(figures: ForceFigures, limits: ForceLimits): ForceReason[] {
  const codes = {
    peakNewton: 'peak-too-high',
    dynamicMs: 'dynamic-too-long',
    staticNewton: 'static-too-high',
    residualNewton: 'residual-too-high',
  } as const;
  return (Object.keys(codes) as (keyof typeof codes)[])
    .filter((figure) => exceeds(figures[figure], limits[figure]))
    .map((figure) => ({ code: codes[figure], facts: { [figure]: figures[figure], limit: limits[figure] } }));
}

function exceeds(value: number, limit: number): boolean {
  return value > limit * (1 + ROUNDING);
}
