import type { DutyModel } from '@lintel/engine';
import { z } from 'zod';
import { instant } from '../shared/fields.js';
import { verdict } from './verdict.js';

const quantiles = z.object({ p10: z.number(), p50: z.number(), p90: z.number() });

/** The engine's duty model, whole (instants in milliseconds there). */
export const dutyModel: z.ZodType<DutyModel> = z.object({
  asOf: z.number(),
  lifetimeCycles: z.number(),
  cyclesPerDay: quantiles,
  level: z.number(),
  levelVariance: z.number(),
  driftVariancePerDay: z.number(),
  dispersion: z.number(),
  readings: z.int(),
  lastReadingAt: z.number().nullable(),
  changedAt: z.number().nullable(),
  weekday: z.array(z.number()).nullable(),
  seasonal: z.array(z.number()).nullable(),
}).meta({ id: 'DutyModel' });

/** How hard one door works: its lifetime cycles so far and ahead. */
export const doorDuty = z.object({
  /** Null before the first projection: history is there all the same, a forecast is not. */
  model: dutyModel.nullable(),
  history: z.array(z.object({ at: instant, cycles: z.number(), estimated: z.boolean() })),
  forecast: z.array(z.object({ daysAhead: z.int(), p10: z.number(), p50: z.number(), p90: z.number() })),
  setAside: z.array(z.object({ at: instant, value: z.number(), verdict })),
}).meta({ id: 'DoorDuty' });
export type DoorDuty = z.infer<typeof doorDuty>;
