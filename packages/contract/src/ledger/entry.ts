import { z } from 'zod';
import { id, instant } from '../shared/fields.js';
import type { ListWords } from '../shared/list.js';

/** Who did what. */
export const ledgerEntry = z.object({
  id,
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
}).meta({ id: 'LedgerEntry' });
export type LedgerEntry = z.infer<typeof ledgerEntry>;

export const ledgerList: ListWords = {
  filters: { id, accountId: id, actor: z.string().max(60), action: z.string().max(60), subjectKind: z.string().max(60), subjectId: id },
  ranges: { at: 'instant' },
  sorts: ['at'],
  defaultSort: '-at',
  search: false,
};
