import { z } from 'zod';
import { civilDate, id, instant } from '../shared/fields.js';

/** Early, middle and late date: one chance in ten, even odds, nine in ten that it comes by then; null: not within a hundred years. */
const dates = z.object({ p10: civilDate.nullable(), p50: civilDate.nullable(), p90: civilDate.nullable() });

export const bearingKinds = ['ball', 'roller'] as const;

/** Rating life of the bearings in one position, by ISO 281, in cycles of this door. */
export const bearingLifeView = z.object({
  fittedPartId: id,
  positionId: id,
  positionName: z.string(),
  kind: z.enum(bearingKinds),
  ratingKn: z.number(),
  loadKn: z.number(),
  turnsPerCycle: z.number(),
  source: z.string().nullable(),
  /** L10: what nine in ten reach. */
  l10MillionTurns: z.number(),
  l10Cycles: z.number(),
  ageCycles: z.number(),
  /** Chance that a bearing has failed by this age, by the makers' law. */
  failedByNow: z.number(),
  /** When this door has made L10; null before the first projection. */
  reachedOn: dates.nullable(),
});
export type BearingLifeView = z.infer<typeof bearingLifeView>;

/** Where the wear limit comes from: the maker of the chain, or the handbook's rule for its sprocket and centres. */
export const chainLimitSources = ['maker', 'handbook'] as const;

export const chainLifeView = z.object({
  fittedPartId: id,
  positionId: id,
  positionName: z.string(),
  /** Nominal pitch of the position, where it is known; for the next measurement. */
  pitchMm: z.number().nullable(),
  limitPercent: z.number(),
  limitSource: z.enum(chainLimitSources),
  sprocketTeeth: z.int().nullable(),
  fixedCentres: z.boolean(),
  /** Cycles that the chain has run; null: not known yet. */
  ageCycles: z.number().nullable(),
  /** Those in force, by the cycles that the chain had run; a null age cannot be drawn. */
  measurements: z.array(z.object({ id, measuredAt: instant, ageCycles: z.number().nullable(), elongationPercent: z.number() })),
  /** The last one is at its limit. */
  atLimit: z.boolean(),
  /** Least-squares line with the interval of 95 % of where it meets the limit; null with the reason beside it. */
  line: z.object({
    interceptPercent: z.number(),
    percentPer100kCycles: z.number(),
    cyclesAtLimit: z.number(),
    /** `high` null: the wear is not sure enough to say. */
    low: z.number(),
    high: z.number().nullable(),
  }).nullable(),
  none: z.enum(['too-few-measurements', 'not-wearing']).nullable(),
  /** Dates of the limit: early by the interval's low end and a hard-worked door, late by the opposite; null without a line or duty. */
  limitOn: dates.nullable(),
});
export type ChainLifeView = z.infer<typeof chainLifeView>;

export const handbookLives = z.object({ chains: z.array(chainLifeView), bearings: z.array(bearingLifeView) }).meta({ id: 'HandbookLives' });
export type HandbookLives = z.infer<typeof handbookLives>;
