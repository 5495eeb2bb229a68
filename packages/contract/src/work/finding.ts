import { z } from 'zod';
import { id, instant, line, text, version } from '../shared/fields.js';
import { flag, type ListWords } from '../shared/list.js';
import { findingSeverity } from './words.js';

/** Something seen wrong on a door. An unsafe one keeps the door out of service until a retest clears it. */
export const finding = z.object({
  id,
  doorId: id,
  doorName: z.string(),
  siteId: id,
  siteName: z.string(),
  ownerId: id,
  ownerName: z.string(),
  workOrderId: id.nullable(),
  workOrderNumber: z.int().nullable(),
  stepId: z.string().nullable(),
  positionId: id.nullable(),
  positionName: z.string().nullable(),
  severity: findingSeverity,
  text: z.string(),
  photoIds: z.array(id),
  foundAt: instant,
  accountId: id,
  /** Null for an owner, who does not see the company's people. */
  accountName: z.string().nullable(),
  /** The order that is to put it right. */
  correctiveId: id.nullable(),
  correctiveNumber: z.int().nullable(),
  open: z.boolean(),
  clearedAt: instant.nullable(),
  /** The order that cleared it; null where it was resolved by hand. */
  clearedById: id.nullable(),
  resolution: z.string().nullable(),
  version,
}).meta({ id: 'Finding' });
export type FindingRow = z.infer<typeof finding>;

export const findingCreate = z.strictObject({
  doorId: id,
  severity: findingSeverity,
  text: text.min(1),
  positionId: id.nullable().optional(),
  photoIds: z.array(id).max(50).optional(),
}).meta({ id: 'FindingCreate' });
export type FindingCreate = z.infer<typeof findingCreate>;

/** Told better, or resolved by hand with a word how; unsafe ones are cleared by a passed retest alone. */
export const findingChange = z.strictObject({
  text: text.min(1).optional(),
  resolution: line.min(1).optional(),
}).meta({ id: 'FindingChange' });
export type FindingChange = z.infer<typeof findingChange>;

export const findingList: ListWords = {
  filters: { id, doorId: id, siteId: id, ownerId: id, workOrderId: id, correctiveId: id, severity: findingSeverity, open: flag },
  ranges: { foundAt: 'instant' },
  sorts: ['foundAt', 'severity', 'doorName', 'siteName', 'ownerName'],
  defaultSort: '-foundAt',
  search: true,
};
