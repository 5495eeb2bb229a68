import { canonicalJson } from './canonicalJson.js';

/** An entry of the ledger as it is stored and exported. Hashes are SHA-256 in small hexadecimal letters. */
export interface SealedEntry {
  companyId: string;
  id: string;
  /** 1, 2, 3… per company; null: never sealed. */
  sequence: number | null;
  /** UTC with milliseconds, as `2026-01-31T08:00:00.000Z`. */
  at: string;
  accountId: string | null;
  actor: string;
  action: string;
  subjectKind: string;
  subjectId: string | null;
  /** JSON text, so that numbers keep all their digits. */
  detail: string;
  previousHash: string | null;
  hash: string | null;
}

/**
 * The text whose SHA-256, over its UTF-8 bytes, is the entry's hash: all that it says, its place, and the hash before, as
 * canonical JSON (see `canonicalJson`). The database makes the same in `ledger_hash`.
 */
export function sealedText(entry: SealedEntry): string {
  const { companyId, id, sequence, at, accountId, actor, action, subjectKind, subjectId, detail, previousHash } = entry;
  const facts = JSON.stringify({ companyId, id, sequence, at, accountId, actor, action, subjectKind, subjectId, previousHash });
  return canonicalJson(`${facts.slice(0, -1)},"detail":${detail}}`);
}
