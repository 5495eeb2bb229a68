import type { ForceLimitTable, Refusal } from './types.js';

/** Where the closing force of a vertically moving door is measured: height of the edge, and place along it. */
export interface MeasuringPoint {
  /** Height of the closing edge over the floor when it meets the gauge, mm: also the gap. */
  heightMm: number;
  across: 'left' | 'middle' | 'right';
  /** Distance from the left side of the opening, mm. */
  fromLeftMm: number;
}

export interface Opening {
  widthMm: number;
  heightMm: number;
}

/**
 * The measuring points of a vertically moving door: 50, 300 and 2500 mm over the floor, or 300 mm below fully open where the
 * opening is at most 2800 mm high; each at mid-width and 200 mm from both sides (the `point-` rows of the table say where
 * that was read). Where an opening is so low or so narrow that points coincide, they count once; no point lies higher than
 * 300 mm below fully open.
 * @returns from bottom to top, left to right; or `opening-too-small` (under 350 mm high or 400 mm wide) if no point is left.
 */
export function measuringPoints(
  { widthMm, heightMm }: Opening,
  { rows }: ForceLimitTable,
): MeasuringPoint[] | Refusal<'opening-too-small'> {
  const fromSideMm = rows['point-from-side'].value;
  const belowOpenMm = rows['point-below-open'].value;
  const lowMm = rows['point-height-low'].value;
  const leastWidthMm = 2 * fromSideMm;
  const leastHeightMm = lowMm + belowOpenMm;
  if (!(widthMm >= leastWidthMm && heightMm >= leastHeightMm && Number.isFinite(widthMm) && Number.isFinite(heightMm))) {
    return { refused: 'opening-too-small', facts: { widthMm, heightMm, leastWidthMm, leastHeightMm } };
  }
  const isLow = heightMm <= rows['point-low-opening'].value;
  const highestMm = isLow ? heightMm - belowOpenMm : rows['point-height-high'].value;
  const lower = [lowMm, rows['point-height-middle'].value].filter((height) => height <= highestMm);
  const heights = [...new Set([...lower, highestMm])];
  const across: Omit<MeasuringPoint, 'heightMm'>[] =
    widthMm === leastWidthMm
      ? [{ across: 'middle', fromLeftMm: fromSideMm }]
      : [
          { across: 'left', fromLeftMm: fromSideMm },
          { across: 'middle', fromLeftMm: widthMm / 2 },
          { across: 'right', fromLeftMm: widthMm - fromSideMm },
        ];
  return heights.flatMap((height) => across.map((place) => ({ heightMm: height, ...place })));
}

export function samePoint(
  a: Pick<MeasuringPoint, 'heightMm' | 'across'>,
  b: Pick<MeasuringPoint, 'heightMm' | 'across'>,
): boolean {
  return a.heightMm === b.heightMm && a.across === b.across;
}
