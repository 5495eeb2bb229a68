import type { LifeRating } from '@lintel/engine';
import { z } from 'zod';
import { partKind } from '../fleet/partKinds.js';
import { id, instant, text, version } from '../shared/fields.js';
import { flag, type ListWords } from '../shared/list.js';
import { ageUnit } from './condition.js';

/** The coldest side of a door; unknown where its zones are not. */
export const doorClimates = ['freezer', 'cooler', 'ambient', 'outdoor', 'unknown'] as const;
export const doorClimate = z.enum(doorClimates);
export type DoorClimate = z.infer<typeof doorClimate>;

/** Whose lives a model has learned from, narrowest first: one door type in one climate, one door type, the kind of part anywhere. */
export const wearPools = ['type-in-climate', 'type', 'kind'] as const;
export const wearPool = z.enum(wearPools);
export type WearPool = z.infer<typeof wearPool>;

/** Why no law could be fitted to the lives alone; the rating still says something. */
export const noFitReason = z.enum(['too-few-failures', 'failures-at-one-age', 'shape-not-bounded']);

const lifeRating: z.ZodType<LifeRating> = z.object({
  b10Cycles: z.number().nullable(),
  b10Months: z.number().nullable(),
  shape: z.number(),
  shapeSpread: z.number(),
  ratingSpread: z.number(),
});

/** One version of what is known of the life of the parts in one position of a door type, in one climate. */
export const wearModel = z.object({
  id,
  positionId: id,
  positionName: z.string(),
  kind: partKind,
  safetyDevice: z.boolean(),
  doorTypeId: id,
  doorTypeName: z.string(),
  climate: doorClimate,
  /** Counts the versions from 1; `newest` is the highest of them. */
  number: z.int(),
  newest: z.int(),
  madeAt: instant,
  pool: wearPool,
  unit: ageUnit,
  failures: z.int(),
  suspensions: z.int(),
  /** Lives whose age could not be told. */
  setAside: z.int(),
  rating: lifeRating,
  ratingSource: z.string().nullable(),
  /** Ages, in `unit`, by which 10 % and 50 % have failed; between low and high nine chances in ten. */
  b10: z.number(),
  b10Low: z.number(),
  b10High: z.number(),
  b50: z.number(),
  b50Low: z.number(),
  b50High: z.number(),
  noFit: noFitReason.nullable(),
  inUse: z.boolean(),
  /** Stays in use, whatever is learned later, until it is released. */
  fixed: z.boolean(),
  fixedAt: instant.nullable(),
  fixedByName: z.string().nullable(),
  fixedNote: z.string().nullable(),
  version,
}).meta({ id: 'WearModel' });
export type WearModel = z.infer<typeof wearModel>;

export const wearModelList: ListWords = {
  filters: { id, positionId: id, doorTypeId: id, kind: partKind, climate: doorClimate, pool: wearPool, inUse: flag, fixed: flag },
  ranges: {},
  sorts: ['positionName', 'doorTypeName', 'kind', 'climate', 'failures', 'suspensions', 'number', 'madeAt'],
  defaultSort: 'positionName,doorTypeName,climate,-number',
  search: true,
};

/** Why one version is fixed, or released. */
export const wearModelWord = z.strictObject({ note: text.min(1) }).meta({ id: 'WearModelWord' });
export type WearModelWord = z.infer<typeof wearModelWord>;

/** Asks for the models of a kind of part to be fitted anew. */
export const refitAsked = z.strictObject({ kind: partKind }).meta({ id: 'RefitAsked' });
export type RefitAsked = z.infer<typeof refitAsked>;
