import { z } from 'zod';
import { civilDate, cycles, id } from '../shared/fields.js';

/** When one safety device must be exchanged, by ISO 13849-1 annex C; never later for anything that is computed elsewhere. */
export const safetyLife = z.object({
  fittedPartId: id,
  positionId: id,
  positionName: z.string(),
  /** Operations by which one in ten has failed dangerously, as the maker says. */
  b10dCycles: cycles,
  /** Of this door, by the upper end of its rate: nine chances in ten that it makes fewer. */
  operationsPerYear: z.number(),
  /** Mean time to a dangerous failure (MTTF_D), and age by which one in ten has failed so (T10D), years. */
  meanYears: z.number(),
  tenthYears: z.number(),
  /** The mission time ends first. */
  byMissionTime: z.boolean(),
  exchangeOn: civilDate,
  overdue: z.boolean(),
});
export type SafetyLife = z.infer<typeof safetyLife>;

export const safetyLives = z.object({ items: z.array(safetyLife) }).meta({ id: 'SafetyLives' });
export type SafetyLives = z.infer<typeof safetyLives>;
