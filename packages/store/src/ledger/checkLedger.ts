import { createHash } from 'node:crypto';
import { CHAIN_START, endOfChain, isChainFault, nextInChain, type ChainFault, type ChainPlace, type SealedEntry } from '@lintel/engine';
import type pg from 'pg';
import { newId, type CompanyContext, type Store } from '../context.js';

/** Entries fetched at once: memory does not grow with the ledger. */
const PAGE = 1_000;
/** Held against as anchors of our own: the last so many checks that found no fault. */
const CHECKS_HELD = 400;

export interface LedgerChecked {
  companyId: string;
  /** Entries found in order, from the first on, and the hash of the last of them. */
  entries: number;
  hash: string;
  /** The first that does not fit; null: all do. */
  fault: ChainFault | null;
}

export interface CheckLedgerOptions {
  /** Hashes known from exported anchors, by place. */
  anchors?: ReadonlyMap<number, string>;
  onProgress?: (done: number, total: number) => void;
}

const ENTRY = `company_id AS "companyId", id, sequence::float8 AS sequence, account_id AS "accountId", actor, action, subject_kind AS "subjectKind",
  to_char(at AT TIME ZONE 'UTC', 'YYYY-MM-DD"T"HH24:MI:SS.MS"Z"') AS at,
  subject_id AS "subjectId", detail::text AS detail, encode(previous_hash, 'hex') AS "previousHash", encode(hash, 'hex') AS hash`;

/** SHA-256 of a text's UTF-8 bytes: the second implementation beside the database's own. */
export const sha256Hex = (text: string): string => createHash('sha256').update(text, 'utf8').digest('hex');

/**
 * Walks a company's chain from its first entry to its last and computes every seal anew. Reads page by page; entries that are
 * added meanwhile are walked as well, as far as they are there when the walk arrives. Cost O(n) time, O(1) memory.
 */
export async function checkLedger(store: Store, context: CompanyContext, options: CheckLedgerOptions = {}): Promise<LedgerChecked> {
  const inCompany = <T>(work: (client: pg.PoolClient) => Promise<T>): Promise<T> => store.withCompanySql(context, work);
  const anchors = new Map([...(await inCompany(checkedBefore)), ...(options.anchors ?? [])]);
  const outside = await inCompany((client) => unsealed(client));
  let place: ChainPlace = { sequence: 0, hash: CHAIN_START };
  const found = (fault: ChainFault | null): LedgerChecked =>
    ({ companyId: context.companyId, entries: place.sequence, hash: place.hash, fault });
  for (;;) {
    const from = place.sequence;
    const { entries, end } = await inCompany((client) => nextPage(client, from));
    for (const entry of entries) {
      const step = nextInChain(place, entry, sha256Hex, anchors);
      if (isChainFault(step)) return found(step);
      place = step;
    }
    options.onProgress?.(place.sequence, end.head?.sequence ?? place.sequence);
    if (entries.length < PAGE) return found(endOfChain(place, end.head, end.entries, anchors) ?? outside);
  }
}

interface End {
  head: ChainPlace | null;
  /** Sealed entries in all. */
  entries: number;
}

/** The next entries; at the last page also where the chain ends, as of the same instant. */
async function nextPage(client: pg.ClientBase, from: number): Promise<{ entries: SealedEntry[]; end: End }> {
  // Along the index, also where the planner still thinks that there is little to sort: else each page would sort all that is left.
  await client.query(`SELECT set_config('enable_sort', 'off', true), set_config('enable_bitmapscan', 'off', true), set_config('enable_seqscan', 'off', true)`);
  const { rows } = await client.query<{ entries: SealedEntry[] | null; headSequence: number | null; headHash: string | null; count: number }>(
    `WITH page AS (SELECT ${ENTRY} FROM ledger_entry WHERE company_id = app_company_id() AND sequence > $1 ORDER BY ledger_entry.company_id, ledger_entry.sequence LIMIT ${PAGE})
     SELECT (SELECT json_agg(p) FROM page p) AS entries,
       (SELECT sequence::float8 FROM ledger_head) AS "headSequence", (SELECT encode(hash, 'hex') FROM ledger_head) AS "headHash",
       CASE WHEN (SELECT count(*) FROM page) < ${PAGE} THEN (SELECT count(*)::float8 FROM ledger_entry WHERE sequence IS NOT NULL) ELSE 0 END AS count`,
    [from],
  );
  const { entries, headSequence, headHash, count } = rows[0]!;
  return { entries: entries ?? [], end: { head: headSequence === null ? null : { sequence: headSequence, hash: headHash! }, entries: count } };
}

/** Whatever is committed is sealed: an entry without a seal came in past the trigger. */
async function unsealed(client: pg.ClientBase): Promise<ChainFault | null> {
  const { rows } = await client.query<SealedEntry>(`SELECT ${ENTRY} FROM ledger_entry WHERE sequence IS NULL ORDER BY ledger_entry.at, id LIMIT 1`);
  const [entry] = rows;
  return entry === undefined ? null : { code: 'unsealed', sequence: null, id: entry.id, at: entry.at };
}

/** Where earlier checks found the chain in order: it must lead through those places still. */
async function checkedBefore(client: pg.ClientBase): Promise<Map<number, string>> {
  const { rows } = await client.query<ChainPlace>(
    `SELECT entries::float8 AS sequence, encode(hash, 'hex') AS hash FROM ledger_check WHERE fault IS NULL AND entries > 0 ORDER BY at DESC LIMIT ${CHECKS_HELD}`,
  );
  return new Map(rows.map(({ sequence, hash }) => [sequence, hash]));
}

/** Checks, and writes down what was found. */
export async function checkLedgerNoted(store: Store, context: CompanyContext, options: CheckLedgerOptions = {}): Promise<LedgerChecked> {
  const checked = await checkLedger(store, context, options);
  await store.withCompanySql(context, (client) =>
    client.query(`INSERT INTO ledger_check (company_id, id, entries, hash, fault) VALUES ($1, $2, $3, decode($4, 'hex'), $5::jsonb)`,
      [context.companyId, newId(), checked.entries, checked.hash, checked.fault === null ? null : JSON.stringify(checked.fault)]));
  return checked;
}
