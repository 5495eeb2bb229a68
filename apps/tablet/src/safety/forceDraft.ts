import type { DeviceState } from '@lintel/contract';
import { type ForceFigures, type ForceLimitTable, judgeForceTest, type Opening, type PointReading, type StepAnswer, typedReading } from '@lintel/engine';
import { typedNumber } from '../steps/types.js';

/** What is measured so far: kept after every reading. */
export interface ForceDraft {
  instrumentId: string | null;
  readings: readonly PointReading[];
}

export type Instrument = DeviceState['instruments'][number];

/** Characters of one answer that the server takes with room to spare; curves beyond that stay behind, their figures do not. */
const mostCharacters = 1_500_000;

export interface TypedFigures {
  peak: string;
  duration: string;
  still: string;
  residual: string;
}
export const noFigures: TypedFigures = { peak: '', duration: '', still: '', residual: '' };

/** What a gauge shows, typed; or the name of the first figure that is no number. */
export function figuresOf(typed: TypedFigures): ForceFigures | { missing: string } {
  const figures = {
    peakNewton: typedNumber(typed.peak), dynamicMs: typedNumber(typed.duration),
    staticNewton: typedNumber(typed.still), residualNewton: typedNumber(typed.residual),
  };
  const names = { peakNewton: 'peak force', dynamicMs: 'dynamic time', staticNewton: 'static force', residualNewton: 'residual force' };
  const missing = (Object.keys(figures) as (keyof ForceFigures)[]).find((name) => !(figures[name] >= 0));
  return missing ? { missing: names[missing] } : figures;
}

/** The readings with one more; or why the engine will not have it there. */
export function withReading(
  readings: readonly PointReading[],
  reading: PointReading,
  opening: Opening,
  limits: ForceLimitTable,
): readonly PointReading[] | { refused: string; facts: Record<string, unknown> } {
  const next = [...readings, reading];
  const verdict = judgeForceTest(opening, next, limits);
  return 'refused' in verdict ? verdict : next;
}

export const typedAt = (point: Pick<PointReading, 'heightMm' | 'across'>, figures: ForceFigures): PointReading => ({
  heightMm: point.heightMm, across: point.across, ...typedReading(figures),
});

/** The answer, with its curves as long as the server can take them. */
export function forceAnswer(draft: ForceDraft, instrument: Instrument, usedOn: string): Extract<StepAnswer, { kind: 'force-test' }> {
  const answer = { kind: 'force-test' as const, readings: draft.readings, gauge: instrument.gauge, usedOn, instrumentId: instrument.id };
  if (JSON.stringify(answer).length <= mostCharacters) return answer;
  return { ...answer, readings: draft.readings.map(({ curve: _left, ...reading }) => reading) };
}
