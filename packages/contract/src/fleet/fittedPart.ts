import { z } from 'zod';
import { civilDate, cycles, id, instant, instantGiven, line, text, version } from '../shared/fields.js';
import { flag, type ListWords } from '../shared/list.js';
import { ageUnit, condition } from '../wear/condition.js';
import { partKind } from './partKinds.js';

export const removalReason = z.enum(['failed', 'worn', 'preventive', 'damaged', 'upgraded', 'entered-in-error']);

/** A part with its outlook; the fields from `unit` on are null before the first projection and after removal. */
export const fittedPart = z.object({
  id,
  doorId: id,
  doorName: z.string(),
  siteId: id,
  siteName: z.string(),
  positionId: id,
  positionName: z.string(),
  positionOrdinal: z.int(),
  kind: partKind,
  safetyDevice: z.boolean(),
  serial: z.string().nullable(),
  fittedAt: instant,
  fittedCycles: cycles.nullable(),
  ageAtFitting: cycles,
  removedAt: instant.nullable(),
  removedCycles: cycles.nullable(),
  removalReason: removalReason.nullable(),
  note: z.string().nullable(),
  fitted: z.boolean(),
  version,
  condition,
  unit: ageUnit.nullable(),
  age: z.number().nullable(),
  remaining10: z.number().nullable(),
  remaining50: z.number().nullable(),
  remaining90: z.number().nullable(),
  endsOn10: civilDate.nullable(),
  endsOn50: civilDate.nullable(),
  endsOn90: civilDate.nullable(),
  chance30: z.number().nullable(),
  chance90: z.number().nullable(),
  chance365: z.number().nullable(),
  projectedAt: instant.nullable(),
  /** The version of the wear model behind the outlook; null: the position's rating alone. */
  wearModelId: id.nullable(),
}).meta({ id: 'FittedPart' });
export type FittedPart = z.infer<typeof fittedPart>;

const fields = {
  doorId: id,
  positionId: id,
  serial: line.min(1).nullable().optional(),
  fittedAt: instantGiven,
  fittedCycles: cycles.nullable().optional(),
  ageAtFitting: cycles.optional(),
  note: text.nullable().optional(),
};
export const fittedPartCreate = z.strictObject(fields).meta({ id: 'FittedPartCreate' });
export const fittedPartChange = z.strictObject(fields).omit({ doorId: true, positionId: true }).partial()
  .meta({ id: 'FittedPartChange' });
export const fittedPartRemove = z.strictObject({
  at: instantGiven,
  cycles: cycles.nullable().optional(),
  reason: removalReason,
  note: text.nullable().optional(),
}).meta({ id: 'FittedPartRemove' });
export type FittedPartCreate = z.infer<typeof fittedPartCreate>;
export type FittedPartChange = z.infer<typeof fittedPartChange>;
export type FittedPartRemove = z.infer<typeof fittedPartRemove>;

export const fittedPartList: ListWords = {
  filters: {
    id,
    doorId: id,
    siteId: id,
    positionId: id,
    kind: partKind,
    safetyDevice: flag,
    condition,
    removalReason,
    fitted: flag,
    wearModelId: id,
  },
  ranges: { endsOn50: 'date', fittedAt: 'instant', removedAt: 'instant' },
  sorts: [
    'positionOrdinal', 'positionName', 'doorName', 'siteName', 'fittedAt', 'removedAt', 'condition', 'chance30',
    'chance90', 'chance365', 'endsOn10', 'endsOn50', 'endsOn90',
  ],
  defaultSort: 'positionOrdinal,-fittedAt',
  search: true,
};
