import { z } from 'zod';
import { id, instant } from '../shared/fields.js';

const hash = z.string().regex(/^[0-9a-f]{64}$/, 'must be 64 hexadecimal digits');
const place = z.int().min(1);

/** Where a company's chain ended at some time. Kept elsewhere, it proves later that nothing up to there was changed. */
export const ledgerAnchor = z.object({
  companyId: id,
  companyName: z.string(),
  /** The place of the last entry: 1, 2, 3… */
  sequence: place,
  /** Its hash: SHA-256, in hexadecimal. */
  hash,
  /** When that entry was written. */
  at: instant,
}).meta({ id: 'LedgerAnchor' });
export type LedgerAnchor = z.infer<typeof ledgerAnchor>;

/** A file of anchors, of one company or several. */
export const ledgerAnchors = z.object({ anchors: z.array(ledgerAnchor).max(10_000) }).meta({ id: 'LedgerAnchors' });
export type LedgerAnchors = z.infer<typeof ledgerAnchors>;

export const chainFaultCode = z.enum([
  'missing', 'changed', 'unlinked', 'unsealed', 'cut-off', 'surplus', 'head-differs', 'anchor-differs', 'anchor-missing',
]);

export const chainFault = z.object({
  code: chainFaultCode,
  /** The place in the chain; null for an entry that never got one. */
  sequence: z.int().nullable(),
  id: id.nullable(),
  at: z.string().nullable(),
});
export type ChainFaultFacts = z.infer<typeof chainFault>;

export const ledgerState = z.object({
  /** Null while there is no entry. */
  head: ledgerAnchor.nullable(),
  /** The last check; null: none yet. */
  check: z.object({ at: instant, entries: z.int(), fault: chainFault.nullable() }).nullable(),
}).meta({ id: 'LedgerState' });
export type LedgerState = z.infer<typeof ledgerState>;

const why: Record<z.infer<typeof chainFaultCode>, string> = {
  missing: 'is missing',
  changed: 'does not say what was sealed: it was changed, or stands in another place',
  unlinked: 'is not sealed over the entry before it: it was put in, or put elsewhere',
  unsealed: 'never came through the chain',
  'cut-off': 'and all after it are missing: the chain ends before its noted end',
  surplus: 'is beyond the noted end, or shares its place with another',
  'head-differs': 'is not the one that was noted as the last',
  'anchor-differs': 'is not the one that was there when the anchor was taken: the ledger was written anew up to there or before',
  'anchor-missing': 'is missing, though an anchor was taken of it',
};

/** The sentence for a fault, the same on the command line, in the job and on the page. */
export function chainFaultText({ code, sequence, id: entryId, at }: ChainFaultFacts): string {
  const facts = [entryId === null ? null : `id ${entryId}`, at].filter((fact) => fact !== null);
  const named = [sequence === null ? 'An entry' : `Entry ${sequence}`, ...(facts.length === 0 ? [] : [`(${facts.join(', ')})`])];
  return `${named.join(' ')} ${why[code]}.`;
}
