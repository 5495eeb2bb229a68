import { z } from 'zod';
import { id, instant } from '../shared/fields.js';
import { forceLimitTable } from './forceLimitTable.js';

/** The company's force limits in use: its newest version, or the program's own table as version 1. */
export const forceLimitsInUse = z.object({
  table: forceLimitTable,
  /** Null for version 1, which nobody made. */
  madeAt: instant.nullable(),
  accountId: id.nullable(),
  accountName: z.string().nullable(),
}).meta({ id: 'ForceLimitsInUse' });
export type ForceLimitsInUse = z.infer<typeof forceLimitsInUse>;
