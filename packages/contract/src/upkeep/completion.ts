import { z } from 'zod';
import { cycles, id, instant, instantGiven, text } from '../shared/fields.js';
import { flag, type ListWords } from '../shared/list.js';

/** A task done on a door: a fact, never changed. */
export const completion = z.object({
  id,
  doorId: id,
  doorName: z.string(),
  siteId: id,
  siteName: z.string(),
  taskId: id,
  taskName: z.string(),
  safety: z.boolean(),
  doneAt: instant,
  lifetimeCycles: cycles.nullable(),
  passed: z.boolean(),
  note: z.string().nullable(),
  accountId: id.nullable(),
  accountName: z.string().nullable(),
  recordedAt: instant,
}).meta({ id: 'Completion' });
export type Completion = z.infer<typeof completion>;

export const completionCreate = z.strictObject({
  doorId: id,
  taskId: id,
  doneAt: instantGiven,
  lifetimeCycles: cycles.nullable().optional(),
  passed: z.boolean().optional(),
  note: text.nullable().optional(),
}).meta({ id: 'CompletionCreate' });
export type CompletionCreate = z.infer<typeof completionCreate>;

export const completionList: ListWords = {
  filters: { id, doorId: id, siteId: id, taskId: id, safety: flag, passed: flag },
  ranges: { doneAt: 'instant' },
  sorts: ['doneAt', 'doorName', 'siteName', 'taskName'],
  defaultSort: '-doneAt',
  search: true,
};
