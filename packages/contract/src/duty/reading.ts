import { z } from 'zod';
import { cycles, id, instant, instantGiven, line } from '../shared/fields.js';
import type { ListWords } from '../shared/list.js';
import { verdict } from './verdict.js';

export const readingSource = z.enum(['form', 'file', 'post', 'wire']);

/** A planner's word over a verdict. */
export const overrule = z.object({
  use: z.boolean(),
  note: z.string(),
  accountId: id,
  /** Null for an owner, who does not see the company's people. */
  accountName: z.string().nullable(),
  at: instant,
}).meta({ id: 'Overrule' });
export type Overrule = z.infer<typeof overrule>;

export const reading = z.object({
  id,
  doorId: id,
  doorName: z.string(),
  siteId: id,
  siteName: z.string(),
  counterId: id,
  counterName: z.string(),
  at: instant,
  value: cycles,
  source: readingSource,
  importId: id.nullable(),
  receivedAt: instant,
  verdict,
  overrule: overrule.nullable(),
}).meta({ id: 'Reading' });
export type Reading = z.infer<typeof reading>;

export const readingList: ListWords = {
  filters: { id, doorId: id, siteId: id, counterId: id, source: readingSource, importId: id, verdict },
  ranges: { at: 'instant', receivedAt: 'instant' },
  sorts: ['at', 'value', 'receivedAt'],
  defaultSort: '-at',
  search: false,
};

export const mostReadings = 5000;

/** One reading of a batch: the door by id or by serial; the counter left out where the one fitted at that instant is meant. */
export const readingGiven = z.strictObject({
  doorId: id.optional(),
  serial: line.min(1).optional(),
  counterId: id.optional(),
  at: instantGiven,
  value: cycles,
}).meta({ id: 'ReadingGiven' });
export type ReadingGiven = z.infer<typeof readingGiven>;

export const readingBatch = z.strictObject({
  // Each one is checked by itself: a reading that is wrong is refused by its index, and the rest of its batch goes in.
  readings: z.array(z.unknown().meta({ $ref: '#/components/schemas/ReadingGiven' })).min(1).max(mostReadings),
  /** `form` where a person typed them; a machine leaves it out. */
  source: z.enum(['form', 'post']).optional(),
}).meta({ id: 'ReadingBatch' });
export interface ReadingBatch {
  readings: ReadingGiven[];
  source?: 'form' | 'post';
}

export const readingRefusal = z.object({ index: z.int(), field: z.string(), message: z.string() });
export type ReadingRefusal = z.infer<typeof readingRefusal>;

export const readingsTaken = z.object({
  accepted: z.int(),
  /** Known already, value for value. */
  unchanged: z.int(),
  refused: z.array(readingRefusal),
}).meta({ id: 'ReadingsTaken' });
export type ReadingsTaken = z.infer<typeof readingsTaken>;

export const overruleGiven = z.strictObject({ use: z.boolean(), note: line.min(1) }).meta({ id: 'OverruleGiven' });
export type OverruleGiven = z.infer<typeof overruleGiven>;
