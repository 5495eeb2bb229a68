import type { AgeUnit, Condition } from '@lintel/engine';
import { z } from 'zod';

export { chanceByDay } from '@lintel/engine';

export const conditions = ['sound', 'wearing', 'worn', 'unknown'] as const satisfies readonly Condition[];
export const condition = z.enum(conditions);

export const ageUnit = z.enum(['cycles', 'days'] as const satisfies readonly AgeUnit[]);
export type { AgeUnit, Condition };
