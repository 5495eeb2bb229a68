import { z } from 'zod';
import { id, instant } from '../shared/fields.js';
import type { ListWords } from '../shared/list.js';

/** Who did what. */
export const ledgerEntry = z.object({
  id,
  /** Its place in the company's chain: 1, 2, 3… */
  sequence: z.int(),
  at: instant,
  accountId: id.nullable(),
  accountName: z.string().nullable(),
  /** Where no person acted: what did. */
  actor: z.string(),
  /** As `door.decommission`. */
  action: z.string(),
  subjectKind: z.string(),
  subjectId: id.nullable(),
  detail: z.record(z.string(), z.unknown()),
  /** SHA-256 of the entry before it, and of this one over that; hexadecimal. */
  previousHash: z.string(),
  hash: z.string(),
}).meta({ id: 'LedgerEntry' });
export type LedgerEntry = z.infer<typeof ledgerEntry>;

export const ledgerList: ListWords = {
  filters: { id, accountId: id, actor: z.string().max(60), action: z.string().max(60), subjectKind: z.string().max(60), subjectId: id },
  ranges: { at: 'instant' },
  sorts: ['at', 'sequence'],
  defaultSort: '-sequence',
  search: false,
};
