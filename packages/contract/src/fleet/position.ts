import { z } from 'zod';
import { checkedBy, cycles, type FieldError, id, instant, line, name, share, version } from '../shared/fields.js';
import { flag, type ListWords } from '../shared/list.js';
import { bearingKinds } from '../wear/handbookLife.js';
import { partKind } from './partKinds.js';

const currency = z.string().regex(/^[A-Z]{3}$/, 'must be three capital letters (ISO 4217)');
const force = z.number().min(0.001).max(100_000);
const cost = z.int().min(1).max(1_000_000_000_000);

export const position = z.object({
  id,
  doorTypeId: id,
  doorTypeName: z.string(),
  kind: partKind,
  name: z.string(),
  safetyDevice: z.boolean(),
  /** Where it is drawn on the front elevation: shares of the width from the left and of the height from the top. */
  drawnX: z.number(),
  drawnY: z.number(),
  ordinal: z.int(),
  /** Life rating: age by which one in ten has failed; cycles or months, not both. */
  b10Cycles: cycles.nullable(),
  b10Months: z.int().nullable(),
  lifeShape: z.number().nullable(),
  shapeSpread: z.number().nullable(),
  ratingSpread: z.number().nullable(),
  ratingSource: z.string().nullable(),
  /** What replacing the part costs, planned and after a failure with all that follows: minor units of one currency; null to owners. */
  plannedCost: cost.nullable(),
  failureCost: cost.nullable(),
  costCurrency: z.string().nullable(),
  /** Of a safety device: operations by which one in ten has failed dangerously (ISO 13849-1). */
  b10dCycles: cycles.nullable(),
  /** Of rolling bearings: dynamic rating C and equivalent load P (ISO 281), turns of the shaft in one door cycle. */
  bearingKind: z.enum(bearingKinds).nullable(),
  bearingRatingKn: z.number().nullable(),
  bearingLoadKn: z.number().nullable(),
  turnsPerCycle: z.number().nullable(),
  bearingSource: z.string().nullable(),
  /** Of a roller chain: nominal pitch, teeth of the larger sprocket, whether its shaft centres are fixed, the maker's own wear limit. */
  chainPitchMm: z.number().nullable(),
  sprocketTeeth: z.int().nullable(),
  fixedCentres: z.boolean(),
  chainLimitPercent: z.number().nullable(),
  archived: z.boolean(),
  archivedAt: instant.nullable(),
  version,
}).meta({ id: 'Position' });
export type Position = z.infer<typeof position>;

export const positionFields = {
  doorTypeId: id,
  kind: partKind,
  name,
  safetyDevice: z.boolean().optional(),
  drawnX: share,
  drawnY: share,
  ordinal: z.int().min(0).max(1000),
  b10Cycles: cycles.min(1).nullable().optional(),
  b10Months: z.int().min(1).max(1200).nullable().optional(),
  lifeShape: z.number().min(0.3).max(20).nullable().optional(),
  shapeSpread: z.number().min(0.01).max(3).nullable().optional(),
  ratingSpread: z.number().min(0.01).max(3).nullable().optional(),
  ratingSource: line.nullable().optional(),
  plannedCost: cost.nullable().optional(),
  failureCost: cost.nullable().optional(),
  costCurrency: currency.nullable().optional(),
  b10dCycles: cycles.min(1).nullable().optional(),
  bearingKind: z.enum(bearingKinds).nullable().optional(),
  bearingRatingKn: force.nullable().optional(),
  bearingLoadKn: force.nullable().optional(),
  turnsPerCycle: z.number().min(0.001).max(100_000).nullable().optional(),
  bearingSource: line.nullable().optional(),
  chainPitchMm: z.number().min(1).max(1000).nullable().optional(),
  sprocketTeeth: z.int().min(5).max(1000).nullable().optional(),
  fixedCentres: z.boolean().optional(),
  /** A maker's limit above the handbook's 3 % is none that we know. */
  chainLimitPercent: z.number().min(0.1).max(3).nullable().optional(),
};

interface PositionRuled {
  b10Cycles?: number | null | undefined;
  b10Months?: number | null | undefined;
  lifeShape?: number | null | undefined;
  shapeSpread?: number | null | undefined;
  ratingSpread?: number | null | undefined;
  plannedCost?: number | null | undefined;
  failureCost?: number | null | undefined;
  costCurrency?: string | null | undefined;
  bearingKind?: string | null | undefined;
  bearingRatingKn?: number | null | undefined;
  bearingLoadKn?: number | null | undefined;
  turnsPerCycle?: number | null | undefined;
}

const costFields = ['plannedCost', 'failureCost', 'costCurrency'] as const;
const bearingFields = ['bearingKind', 'bearingRatingKn', 'bearingLoadKn', 'turnsPerCycle'] as const;

/**
 * A rating is in cycles or in months, and goes with its shape and both spreads; costs go together, with their currency; so do the
 * figures of a bearing.
 */
export function positionRules(given: PositionRuled): FieldError[] {
  const rated = given.b10Cycles != null || given.b10Months != null;
  if (given.b10Cycles != null && given.b10Months != null) {
    return [{ field: 'b10Months', message: 'a life rating is in cycles or in months, not in both' }];
  }
  const missing = (['lifeShape', 'shapeSpread', 'ratingSpread'] as const).filter((field) => given[field] == null);
  return [
    ...(rated ? missing.map((field) => ({ field, message: 'is needed with a life rating' })) : []),
    ...together(given, costFields, 'is needed where a cost is given'),
    ...together(given, bearingFields, 'is needed where a bearing is described'),
  ];
}

/** All of them, or none. */
function together(given: PositionRuled, fields: readonly (keyof PositionRuled)[], message: string): FieldError[] {
  const missing = fields.filter((field) => given[field] == null);
  return missing.length === fields.length ? [] : missing.map((field) => ({ field, message }));
}

export const positionCreate = z.strictObject(positionFields).superRefine(checkedBy<PositionRuled>(positionRules))
  .meta({ id: 'PositionCreate' });
export const positionChange = z.strictObject(positionFields).omit({ doorTypeId: true, kind: true }).partial()
  .meta({ id: 'PositionChange' });
export type PositionCreate = z.infer<typeof positionCreate>;
export type PositionChange = z.infer<typeof positionChange>;

export const positionList: ListWords = {
  filters: { id, doorTypeId: id, kind: partKind, safetyDevice: flag, archived: flag },
  ranges: {},
  sorts: ['ordinal', 'name', 'kind', 'doorTypeName'],
  defaultSort: 'ordinal',
  search: true,
};
