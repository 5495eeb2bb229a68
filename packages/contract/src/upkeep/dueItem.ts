import type { DueReason } from '@lintel/engine';
import { z } from 'zod';
import { civilDate, id } from '../shared/fields.js';
import { flag, type ListWords } from '../shared/list.js';

/** The engine's reason, whole. */
export const dueReason: z.ZodType<DueReason> = z.object({
  rule: z.enum(['calendar', 'cycles']),
  basis: z.object({
    kind: z.enum(['completion', 'in-service']),
    on: civilDate,
    lifetimeCycles: z.number(),
  }),
  interval: z.number(),
  tightenedByRegime: z.boolean(),
  cyclesToGo: z.number().nullable(),
  quantile: z.number().nullable(),
  lastReadingAt: z.number().nullable(),
  otherRuleDue: civilDate.nullable(),
}).meta({ id: 'DueReason' });

/** The next occurrence of a task on a door. */
export const dueItem = z.object({
  /** `<doorId>:<taskId>`: a due item has no row of its own, it is made anew by each projection. */
  id: z.string(),
  doorId: id,
  doorName: z.string(),
  siteId: id,
  siteName: z.string(),
  timeZone: z.string(),
  ownerId: id,
  ownerName: z.string(),
  taskId: id,
  taskName: z.string(),
  safety: z.boolean(),
  earliestOn: civilDate,
  dueOn: civilDate,
  latestOn: civilDate,
  /** From the day after `latestOn`, in the site's calendar. */
  overdue: z.boolean(),
  why: dueReason,
  minutes: z.int(),
  /** The order that is planned, released or started for it; null: none is. */
  orderId: id.nullable(),
  orderNumber: z.int().nullable(),
  ordered: z.boolean(),
}).meta({ id: 'DueItem' });
export type DueItem = z.infer<typeof dueItem>;

export const dueItemList: ListWords = {
  filters: { doorId: id, siteId: id, ownerId: id, taskId: id, safety: flag, overdue: flag, ordered: flag },
  ranges: { dueOn: 'date', latestOn: 'date' },
  sorts: ['dueOn', 'latestOn', 'earliestOn', 'doorName', 'siteName', 'ownerName', 'taskName', 'safety', 'minutes'],
  defaultSort: 'dueOn',
  search: true,
};
