import { z } from 'zod';
import { cycles, id, instant, instantGiven, line, text } from '../shared/fields.js';
import type { ListWords } from '../shared/list.js';
import { codeWord, faultKind } from './faultCode.js';

export const faultSource = z.enum(['form', 'file', 'post', 'wire']);

/** An event that a door reported, with its code: a fact, never changed. */
export const fault = z.object({
  id,
  doorId: id,
  doorName: z.string(),
  siteId: id,
  siteName: z.string(),
  ownerId: id,
  doorTypeId: id,
  doorTypeName: z.string(),
  faultCodeId: id,
  code: z.string(),
  codeName: z.string(),
  kind: faultKind,
  at: instant,
  lifetimeCycles: cycles.nullable(),
  source: faultSource,
  note: z.string().nullable(),
  importId: id.nullable(),
  accountId: id.nullable(),
  /** Null for an owner, who does not see the company's people. */
  accountName: z.string().nullable(),
  receivedAt: instant,
}).meta({ id: 'Fault' });
export type Fault = z.infer<typeof fault>;

export const faultList: ListWords = {
  filters: {
    id, doorId: id, siteId: id, ownerId: id, doorTypeId: id, faultCodeId: id, kind: faultKind, source: faultSource, importId: id,
  },
  ranges: { at: 'instant', receivedAt: 'instant' },
  sorts: ['at', 'doorName', 'siteName', 'code', 'receivedAt'],
  defaultSort: '-at',
  search: true,
};

export const mostFaults = 5000;

/** One fault of a batch: the door by id or by serial, the code as the catalogue writes it. */
export const faultGiven = z.strictObject({
  doorId: id.optional(),
  serial: line.min(1).optional(),
  code: codeWord,
  at: instantGiven,
  lifetimeCycles: cycles.nullable().optional(),
  note: text.nullable().optional(),
}).meta({ id: 'FaultGiven' });
export type FaultGiven = z.infer<typeof faultGiven>;

export const faultBatch = z.strictObject({
  // Each one is checked by itself: one that is wrong is refused by its index, and the rest of its batch goes in.
  faults: z.array(z.unknown().meta({ $ref: '#/components/schemas/FaultGiven' })).min(1).max(mostFaults),
  /** `form` where a person typed them; a machine leaves it out. */
  source: z.enum(['form', 'post']).optional(),
}).meta({ id: 'FaultBatch' });
export interface FaultBatch {
  faults: unknown[];
  source?: 'form' | 'post';
}

export const faultsTaken = z.object({
  accepted: z.int(),
  /** Known already: the same code on the same door at the same instant. */
  unchanged: z.int(),
  refused: z.array(z.object({ index: z.int(), field: z.string(), message: z.string() })),
}).meta({ id: 'FaultsTaken' });
export type FaultsTaken = z.infer<typeof faultsTaken>;
