import { z } from 'zod';
import { checkedBy, cycles, type FieldError, id, instant, instantGiven, text } from '../shared/fields.js';
import { flag, type ListWords } from '../shared/list.js';

/** How much longer than new a roller chain was found to be. A fact: put right by another one that corrects it. */
export const chainMeasurement = z.object({
  id,
  doorId: id,
  doorName: z.string(),
  fittedPartId: id,
  positionName: z.string(),
  measuredAt: instant,
  /** Lifetime cycles of the door then; null: not noted, taken from the counter's history. */
  lifetimeCycles: cycles.nullable(),
  /** What was measured; null where only the elongation was noted. */
  pitches: z.int().nullable(),
  lengthMm: z.number().nullable(),
  pitchMm: z.number().nullable(),
  elongationPercent: z.number(),
  /** The measurement that this one stands in place of. */
  correctsId: id.nullable(),
  /** Another one stands in place of this. */
  corrected: z.boolean(),
  note: z.string().nullable(),
  accountId: id.nullable(),
  accountName: z.string().nullable(),
  receivedAt: instant,
}).meta({ id: 'ChainMeasurement' });
export type ChainMeasurement = z.infer<typeof chainMeasurement>;

/** Elongations that a measurement can give: a new chain may be a little short, and none of more than 20 % still runs. Common practice, no source. */
export const elongationRange = { least: -2, most: 20 } as const;

interface MeasurementRuled {
  pitches?: number | null | undefined;
  lengthMm?: number | null | undefined;
  pitchMm?: number | null | undefined;
  elongationPercent?: number | null | undefined;
}

/** Either a length over so many pitches of a nominal pitch, or the elongation itself. */
export function measurementRules(given: MeasurementRuled): FieldError[] {
  const parts = (['pitches', 'lengthMm', 'pitchMm'] as const).filter((field) => given[field] == null);
  if (given.elongationPercent != null) {
    return parts.length === 3 ? [] : [{ field: 'elongationPercent', message: 'follows from the length: give one of the two' }];
  }
  if (parts.length === 3) return [{ field: 'lengthMm', message: 'is needed, with pitches and nominal pitch; or the elongation' }];
  return parts.map((field) => ({ field, message: 'is needed with a measured length' }));
}

export const chainMeasurementCreate = z.strictObject({
  fittedPartId: id,
  measuredAt: instantGiven,
  lifetimeCycles: cycles.nullable().optional(),
  pitches: z.int().min(1).max(10_000).nullable().optional(),
  lengthMm: z.number().positive().max(100_000).nullable().optional(),
  pitchMm: z.number().positive().max(1000).nullable().optional(),
  elongationPercent: z.number().min(elongationRange.least).max(elongationRange.most).nullable().optional(),
  correctsId: id.nullable().optional(),
  note: text.nullable().optional(),
}).superRefine(checkedBy<MeasurementRuled>(measurementRules)).meta({ id: 'ChainMeasurementCreate' });
export type ChainMeasurementCreate = z.infer<typeof chainMeasurementCreate>;

export const chainMeasurementList: ListWords = {
  filters: { id, doorId: id, fittedPartId: id, corrected: flag },
  ranges: { measuredAt: 'instant' },
  sorts: ['measuredAt', 'elongationPercent', 'doorName'],
  defaultSort: '-measuredAt',
  search: true,
};
