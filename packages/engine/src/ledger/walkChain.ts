import { sealedText, type SealedEntry } from './sealedText.js';

/** What stands before a company's first entry. */
export const CHAIN_START = '0'.repeat(64);

/** How far a chain has been walked: the place and the hash of the last entry that fitted. */
export interface ChainPlace {
  sequence: number;
  hash: string;
}

/**
 * Why an entry does not fit.
 * - `missing`: its place is taken by a later one; the entry itself is gone
 * - `changed`: what it says is not what was sealed
 * - `unlinked`: it is sealed over another entry than the one before it: put in, or put elsewhere
 * - `unsealed`: it never came through the chain
 * - `cut-off`: the chain ends before the place where the company's head says it does
 * - `surplus`: there are entries beyond the head, or several in one place
 * - `head-differs`: the head has another hash than the last entry
 * - `anchor-differs`: an anchor that was exported earlier has another hash for this place: all from some entry on was made anew
 * - `anchor-missing`: the chain ends before an anchor that was exported earlier
 */
export type ChainFaultCode =
  | 'missing' | 'changed' | 'unlinked' | 'unsealed' | 'cut-off' | 'surplus' | 'head-differs' | 'anchor-differs' | 'anchor-missing';

export interface ChainFault {
  code: ChainFaultCode;
  /** The place in the chain. */
  sequence: number | null;
  /** The entry that stands there, where one does. */
  id: string | null;
  at: string | null;
}

export const isChainFault = (step: ChainPlace | ChainFault): step is ChainFault => 'code' in step;

/**
 * One step along a chain. @param hashOf SHA-256 of a text's UTF-8 bytes, in small hexadecimal letters.
 * @param anchors hashes that are known from elsewhere, by place.
 */
export function nextInChain(
  before: ChainPlace, entry: SealedEntry, hashOf: (text: string) => string, anchors: ReadonlyMap<number, string> = new Map(),
): ChainPlace | ChainFault {
  const { sequence, id, at, hash, previousHash } = entry;
  const fault = (code: ChainFaultCode): ChainFault => ({ code, sequence, id, at });
  if (sequence === null || hash === null || previousHash === null) return fault('unsealed');
  if (sequence > before.sequence + 1) return { code: 'missing', sequence: before.sequence + 1, id: null, at: null };
  if (sequence <= before.sequence) return fault('surplus');
  if (hashOf(sealedText(entry)) !== hash) return fault('changed');
  if (previousHash !== before.hash) return fault('unlinked');
  const anchor = anchors.get(sequence);
  if (anchor !== undefined && anchor !== hash) return fault('anchor-differs');
  return { sequence, hash };
}

/**
 * Whether a chain ends where it should. @param head what the company's head says; null: it says nothing.
 * @param entries how many entries there are in all, at the time of the head.
 */
export function endOfChain(
  last: ChainPlace, head: ChainPlace | null, entries: number, anchors: ReadonlyMap<number, string> = new Map(),
): ChainFault | null {
  const fault = (code: ChainFaultCode, sequence: number): ChainFault => ({ code, sequence, id: null, at: null });
  const end = head ?? { sequence: 0, hash: CHAIN_START };
  if (last.sequence < end.sequence) return fault('cut-off', last.sequence + 1);
  if (entries > end.sequence) return fault('surplus', end.sequence + 1);
  const beyond = [...anchors.keys()].filter((sequence) => sequence > last.sequence);
  if (beyond.length > 0) return fault('anchor-missing', Math.min(...beyond));
  if (last.hash !== end.hash) return fault('head-differs', last.sequence);
  return null;
}
