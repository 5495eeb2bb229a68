import { type ForceRefusal, judgePoint } from './judgeForce.js';
import { type MeasuringPoint, measuringPoints, type Opening, samePoint } from './measuringPoints.js';
import type { ForceLimitTable, ForceReading, ForceSample, ForceVerdict, Refusal } from './types.js';

/** A reading taken at a measuring point. */
export interface PointReading extends ForceReading {
  heightMm: number;
  across: MeasuringPoint['across'];
  /** The recorded curve, kept as evidence; the figures are computed from it where it is taken in. */
  curve?: readonly ForceSample[];
}

export interface MissingPoint extends MeasuringPoint {
  readings: number;
  missing: number;
}

export interface ForceTestVerdict {
  /** Every point measured often enough and every mean within its limits. */
  passed: boolean;
  /** Some point's mean is over a limit, or a record lacks evidence: further readings are no excuse. */
  failed: boolean;
  points: readonly { point: MeasuringPoint; readings: number; verdict?: ForceVerdict }[];
  missing: readonly MissingPoint[];
  /** Over all points: 27 for a usual door. */
  readingsNeeded: number;
  readingsMissing: number;
}

/**
 * What is still to be measured at a door: the points with fewer readings than the table asks for, and how many each lacks.
 * Readings elsewhere do not count. O(points × readings).
 */
export function missingPoints(
  opening: Opening,
  readings: readonly Pick<PointReading, 'heightMm' | 'across'>[],
  table: ForceLimitTable,
): MissingPoint[] | Refusal<'opening-too-small'> {
  const points = measuringPoints(opening, table);
  if ('refused' in points) return points;
  const needed = table.rows.readings.value;
  return points
    .map((point) => {
      const taken = readings.filter((reading) => samePoint(reading, point)).length;
      return { ...point, readings: taken, missing: Math.max(0, needed - taken) };
    })
    .filter(({ missing }) => missing > 0);
}

/**
 * The verdict on a whole force test of a vertically moving door between its closing edge and the floor: each point by the
 * mean of its readings, the gap being the point's height.
 * @returns `not-a-point` for a reading taken where no measuring point is, and the refusals of `judgePoint` with the point.
 */
export function judgeForceTest(
  opening: Opening,
  readings: readonly PointReading[],
  table: ForceLimitTable,
): ForceTestVerdict | Refusal<'opening-too-small' | 'not-a-point'> | ForceRefusal {
  const points = measuringPoints(opening, table);
  if ('refused' in points) return points;
  const stray = readings.find((reading) => !points.some((point) => samePoint(reading, point)));
  if (stray) return { refused: 'not-a-point', facts: { heightMm: stray.heightMm, across: stray.across } };
  const judged: { point: MeasuringPoint; readings: number; verdict?: ForceVerdict }[] = [];
  for (const point of points) {
    const taken = readings.filter((reading) => samePoint(reading, point));
    if (taken.length === 0) {
      judged.push({ point, readings: 0 });
      continue;
    }
    const place = { gapMm: point.heightMm, movement: 'vertical', position: 'closing-edge' } as const;
    const verdict = judgePoint(taken, place, table);
    if ('refused' in verdict) {
      return { ...verdict, facts: { ...verdict.facts, heightMm: point.heightMm, across: point.across } };
    }
    judged.push({ point, readings: taken.length, verdict });
  }
  const missing = missingPoints(opening, readings, table) as MissingPoint[];
  return {
    passed: judged.every(({ verdict }) => verdict?.passed === true),
    failed: judged.some(({ verdict }) => verdict?.reasons.some(({ code }) => code !== 'readings-missing')),
    points: judged,
    missing,
    readingsNeeded: points.length * table.rows.readings.value,
    readingsMissing: missing.reduce((sum, point) => sum + point.missing, 0),
  };
}
