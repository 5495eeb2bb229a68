import { readFileSync } from 'node:fs';
import { fileURLToPath } from 'node:url';
import { canonicalJson, CHAIN_START, sealedText } from '@lintel/engine';
import { checkLedger, checkLedgerNoted, ledgerAnchor, migrationNames, newId, sha256Hex, writeLedger, type CompanyContext } from '@lintel/store';
import pg from 'pg';
import { afterAll, beforeAll, beforeEach, describe, expect, it } from 'vitest';
import { makeSmallFleet } from '../support/fleet.js';
import { openTestDatabase, type TestDatabase } from '../support/testDatabase.js';

let database: TestDatabase;
let company: CompanyContext;
beforeAll(async () => {
  database = await openTestDatabase();
});
beforeEach(async () => {
  company = await database.newCompany();
});
afterAll(() => database?.drop());

const awkward: Record<string, unknown>[] = [
  {}, { n: 0.1 + 0.2, big: 1e21, small: 5e-324, most: 1.7976931348623157e308, negative: -0, whole: 100, exact: 2 ** 53 },
  { text: 'Þór “quoted” \\ / \u0001\u001f\u007f \n\t\b\f\r €', emoji: '🚪', '\u{10000}': 1, '\uffee': 2, 'ä': 3, z: 4, Z: 5, '': 6, __proto__x: 7 },
  { nested: { b: [1, [2, { c: null, a: [true, false, []] }]], a: {} }, long: 'x'.repeat(5_000) },
];

async function add(count: number, detail: (n: number) => Record<string, unknown> = (n) => ({ n })): Promise<void> {
  for (let n = 0; n < count; n += 1) {
    await database.store.withCompanySql(company, (client) => writeLedger(client, company, { action: 'tested', subjectKind: 'door', subjectId: newId(), detail: detail(n) }));
  }
}

async function rows(): Promise<Record<string, unknown>[]> {
  const found = await database.owner.query(
    `SELECT company_id AS "companyId", id, sequence::int AS sequence, to_json(at)::text AS raw, at, account_id AS "accountId", actor, action,
       subject_kind AS "subjectKind", subject_id AS "subjectId", detail::text AS detail, detail AS parsed,
       encode(previous_hash, 'hex') AS "previousHash", encode(hash, 'hex') AS hash
     FROM ledger_entry WHERE company_id = $1 ORDER BY sequence`, [company.companyId]);
  return found.rows;
}
const idAt = async (sequence: number): Promise<string> => (await rows())[sequence - 1]!['id'] as string;

/** Looks behind the store's back, as the schema's owner. */
const tamper = (sql: string, ...values: unknown[]) => database.owner.query(sql, [company.companyId, ...values]);
const fault = async (anchors?: Map<number, string>) => (await checkLedger(database.store, company, anchors ? { anchors } : {})).fault;

describe('the chain', () => {
  it('seals each entry over the one before, by what the database and Node both compute', async () => {
    await add(awkward.length, (n) => awkward[n]!);
    // Numbers that no double holds, from SQL.
    await database.store.withCompanySql(company, (client) => client.query(
      `INSERT INTO ledger_entry (company_id, id, actor, action, subject_kind, detail)
       VALUES ($1, $2, 'test', 'tested', 'door', '{"n": 123456789012345678901234567890.123400, "e": 1e400, "m": 1.0e-20}')`, [company.companyId, newId()]));
    const entries = await rows();
    let before = CHAIN_START;
    for (const [index, entry] of entries.entries()) {
      expect(entry['sequence']).toBe(index + 1);
      expect(entry['previousHash']).toBe(before);
      const told = { ...entry, at: (entry['at'] as Date).toISOString() } as never;
      expect(sha256Hex(sealedText(told)), JSON.stringify(entry['parsed']).slice(0, 200)).toBe(entry['hash']);
      before = entry['hash'] as string;
      // As exported, through JSON.parse: the same, for whatever Lintel writes itself.
      if (index < awkward.length) expect(sha256Hex(sealedText({ ...(told as object), detail: JSON.stringify(entry['parsed']) } as never))).toBe(before);
    }
    expect(await checkLedger(database.store, company)).toEqual({ companyId: company.companyId, entries: 5, hash: before, fault: null });
  });

  it('has one canonical form, in SQL and in TypeScript', async () => {
    const random = seeded(20_261_125);
    const values = Array.from({ length: 400 }, () => JSON.stringify(anything(random, 4)));
    const { rows: made } = await database.owner.query<{ stored: string; canonical: string }>(
      'SELECT v::jsonb::text AS stored, ledger_canonical(v::jsonb) AS canonical FROM unnest($1::text[]) WITH ORDINALITY u(v, n) ORDER BY n', [values]);
    for (const [index, { stored, canonical }] of made.entries()) {
      expect(canonicalJson(stored)).toBe(canonical);
      expect(canonicalJson(values[index]!)).toBe(canonical);
    }
  });

  it('holds for writers at once, in whatever order they lock, and leaves out what was rolled back', async () => {
    const fleet = await makeSmallFleet(database.store, company);
    const other = await makeSmallFleet(database.store, company, ' B');
    const write = (order: readonly string[], fails: boolean) => database.store.withCompanySql(company, async (client) => {
      for (const doorId of order) {
        await writeLedger(client, company, { action: 'tested', subjectKind: 'door', subjectId: doorId });
        await client.query('SELECT pg_sleep(0.002)');
      }
      // A lock that is taken after an entry was written: were the head locked by then, two such writers would wait for each other.
      for (const doorId of [fleet.doorId, other.doorId]) await client.query('UPDATE door SET name = name WHERE id = $1', [doorId]);
      await writeLedger(client, company, { action: 'tested', subjectKind: 'door', subjectId: null });
      if (fails) throw new Error('on purpose');
    });
    const writes = Array.from({ length: 60 }, (_, n) => write(n % 2 ? [fleet.doorId, other.doorId] : [other.doorId, fleet.doorId], n % 5 === 0));
    const settled = await Promise.allSettled(writes);
    const failures = settled.flatMap((one) => (one.status === 'rejected' ? [String(one.reason)] : []));
    expect(failures).toEqual(Array.from({ length: 12 }, () => 'Error: on purpose'));
    const entries = await rows();
    expect(entries.map((entry) => entry['sequence'])).toEqual(Array.from({ length: 48 * 3 }, (_, n) => n + 1));
    expect(await fault()).toBeNull();
  });

  it('is of one company each, and of Prisma transactions and set-wise writes as well', async () => {
    const neighbour = await database.newCompany();
    await database.store.withCompany(company, async (db) => {
      for (const n of [1, 2]) await writeLedger(db, company, { action: 'tested', subjectKind: 'door', subjectId: null, detail: { n } });
    });
    await database.store.withCompanySql(neighbour, (client) => client.query(
      `INSERT INTO ledger_entry (company_id, id, actor, action, subject_kind, detail)
       SELECT $1, gen_random_uuid(), 'test', 'tested', 'door', jsonb_build_object('n', n) FROM generate_series(1, 3000) n`, [neighbour.companyId]));
    expect(await checkLedger(database.store, company)).toMatchObject({ entries: 2, fault: null });
    // More than a page of the check.
    const seen: number[] = [];
    expect(await checkLedger(database.store, neighbour, { onProgress: (done) => seen.push(done) })).toMatchObject({ entries: 3000, fault: null });
    expect(seen).toEqual([1000, 2000, 3000, 3000]);
  });

  it('leaves the application no way to forge: neither seals nor head, nor what would seal', async () => {
    await add(2);
    const refused = [
      `INSERT INTO ledger_entry (company_id, id, actor, action, subject_kind, sequence) VALUES ('${company.companyId}', '${newId()}', 'x', 'x', 'x', 9)`,
      `INSERT INTO ledger_entry (company_id, id, actor, action, subject_kind, at) VALUES ('${company.companyId}', '${newId()}', 'x', 'x', 'x', '2020-01-01Z')`,
      `UPDATE ledger_entry SET actor = 'x'`, `UPDATE ledger_entry SET hash = hash`, 'DELETE FROM ledger_entry', 'TRUNCATE ledger_entry',
      `INSERT INTO ledger_head VALUES ('${company.companyId}', 1, decode(repeat('00', 32), 'hex'))`, 'UPDATE ledger_head SET sequence = 0', 'DELETE FROM ledger_head', 'TRUNCATE ledger_head',
      'UPDATE ledger_check SET entries = 0', 'DELETE FROM ledger_check',
      `SELECT ledger_seal('${company.companyId}')`, 'ALTER TABLE ledger_entry DISABLE TRIGGER ALL', 'SET session_replication_role = replica',
      'DROP TRIGGER ledger_entry_added ON ledger_entry', 'DROP TRIGGER ledger_pending_seal ON ledger_pending',
      'DELETE FROM ledger_pending', 'SELECT * FROM ledger_pending',
    ];
    for (const sql of refused) {
      await expect(database.store.withCompanySql(company, (client) => client.query(sql)), sql).rejects.toThrow(/permission denied|must be owner/);
    }
    // Sealing at once in place of at the end changes when, not whether.
    await database.store.withCompanySql(company, async (client) => {
      await client.query('SET CONSTRAINTS ALL IMMEDIATE');
      await writeLedger(client, company, { action: 'tested', subjectKind: 'door', subjectId: null });
      await writeLedger(client, company, { action: 'tested', subjectKind: 'door', subjectId: null });
    });
    expect(await checkLedger(database.store, company)).toMatchObject({ entries: 4, fault: null });
  });

  it('fails the whole transaction where it cannot seal', async () => {
    await add(1);
    await tamper('UPDATE ledger_head SET sequence = 0 WHERE company_id = $1');
    await expect(add(1)).rejects.toThrow(/ledger_entry_sequence/);
    const prisma = database.store.withCompany(company, async (db) => {
      await db.owner.create({ data: { companyId: company.companyId, id: newId(), name: 'Unsealed' } });
      await writeLedger(db, company, { action: 'tested', subjectKind: 'owner', subjectId: null });
    });
    await expect(prisma).rejects.toThrow(/UniqueConstraintViolation/);
    expect(await database.store.withCompany(company, (db) => db.owner.count())).toBe(0);
    expect(await rows()).toHaveLength(1);
  });
});

describe('a check of the ledger names what was done behind its back', () => {
  beforeEach(() => add(6));
  const at = expect.stringMatching(/^20\d\d-.*Z$/);

  it('changed', async () => {
    const id = await idAt(3);
    for (const change of [`detail = '{"n": 99}'`, `actor = 'somebody'`, `at = at + interval '1 ms'`, `action = 'x'`, 'subject_id = NULL']) {
      await database.owner.query('BEGIN');
      await tamper(`UPDATE ledger_entry SET ${change} WHERE company_id = $1 AND sequence = 3`);
      await database.owner.query('COMMIT');
      expect(await fault(), change).toEqual({ code: 'changed', sequence: 3, id, at });
    }
  });

  it('deleted: in the middle, at the end, and all', async () => {
    await tamper('DELETE FROM ledger_entry WHERE company_id = $1 AND sequence = 6');
    expect(await fault()).toEqual({ code: 'cut-off', sequence: 6, id: null, at: null });
    await tamper('DELETE FROM ledger_entry WHERE company_id = $1 AND sequence = 2');
    expect(await fault()).toEqual({ code: 'missing', sequence: 2, id: null, at: null });
    await tamper('DELETE FROM ledger_entry WHERE company_id = $1');
    expect(await fault()).toEqual({ code: 'cut-off', sequence: 1, id: null, at: null });
  });

  it('reordered', async () => {
    const id = await idAt(5);
    await tamper('UPDATE ledger_entry SET sequence = sequence + 100 WHERE company_id = $1 AND sequence IN (2, 5)');
    await tamper('UPDATE ledger_entry SET sequence = 107 - sequence WHERE company_id = $1 AND sequence > 100');
    expect(await fault()).toEqual({ code: 'changed', sequence: 2, id, at });
  });

  it('put in: in the middle, with or without a seal, and beyond the end', async () => {
    const id = newId();
    const put = (columns: string, values: string) => tamper(
      `INSERT INTO ledger_entry (company_id, id, actor, action, subject_kind${columns}) VALUES ($1, $2, 'x', 'x', 'x'${values})`, id);
    await database.owner.query('ALTER TABLE ledger_entry DISABLE TRIGGER ledger_entry_added');
    try {
      await put('', '');
      expect(await fault()).toEqual({ code: 'unsealed', sequence: null, id, at });
      await tamper('UPDATE ledger_entry SET sequence = sequence + 1000 WHERE company_id = $1 AND sequence >= 4');
      await tamper('UPDATE ledger_entry SET sequence = sequence - 999 WHERE company_id = $1 AND sequence >= 1000');
      await tamper(`UPDATE ledger_entry e SET sequence = 4, previous_hash = b.hash, hash = b.hash FROM ledger_entry b
        WHERE e.company_id = $1 AND e.id = $2 AND b.company_id = $1 AND b.sequence = 3`, id);
      expect(await fault()).toEqual({ code: 'changed', sequence: 4, id, at });
      // With a seal that is right in itself.
      await tamper('UPDATE ledger_entry e SET hash = ledger_hash(e) WHERE company_id = $1 AND id = $2', id);
      expect(await fault()).toEqual({ code: 'changed', sequence: 5, id: await idAt(5), at });
      await tamper('UPDATE ledger_entry e SET hash = ledger_hash(e) WHERE company_id = $1 AND sequence = 5');
      expect(await fault()).toEqual({ code: 'unlinked', sequence: 5, id: await idAt(5), at });
    } finally {
      await database.owner.query('ALTER TABLE ledger_entry ENABLE TRIGGER ledger_entry_added');
    }
  });

  it('made anew as a whole: by an anchor from outside, and by its own earlier checks', async () => {
    const anchor = (await database.store.withCompanySql(company, (client) => ledgerAnchor(client)))!;
    expect(anchor).toMatchObject({ companyId: company.companyId, sequence: 6, hash: (await rows())[5]!['hash'] });
    const held = new Map([[anchor.sequence, anchor.hash]]);
    await add(2);
    expect(await fault(held)).toBeNull();
    await tamper(`UPDATE ledger_entry SET detail = '{"forged": true}' WHERE company_id = $1 AND sequence = 4`);
    await tamper('UPDATE ledger_entry SET sequence = NULL, previous_hash = NULL, hash = NULL WHERE company_id = $1');
    await tamper('DELETE FROM ledger_head WHERE company_id = $1');
    await database.owner.query('SELECT ledger_seal($1)', [company.companyId]);
    expect(await fault(), 'nothing inside shows it').toBeNull();
    expect(await fault(held)).toEqual({ code: 'anchor-differs', sequence: 6, id: await idAt(6), at });
    expect(await fault(new Map([[9, anchor.hash]]))).toEqual({ code: 'anchor-missing', sequence: 9, id: null, at: null });
    expect((await checkLedgerNoted(database.store, company)).fault).toBeNull();
    await tamper('DELETE FROM ledger_entry WHERE company_id = $1 AND sequence = 8');
    await tamper(`UPDATE ledger_head h SET sequence = 7, hash = e.hash FROM ledger_entry e WHERE h.company_id = $1 AND e.company_id = $1 AND e.sequence = 7`);
    expect((await checkLedgerNoted(database.store, company)).fault).toEqual({ code: 'anchor-missing', sequence: 8, id: null, at: null });
    const { rows: noted } = await tamper('SELECT entries::int, fault FROM ledger_check WHERE company_id = $1 ORDER BY at, id');
    expect(noted).toEqual([{ entries: 8, fault: null }, { entries: 7, fault: { code: 'anchor-missing', sequence: 8, id: null, at: null } }]);
  });
});

describe('the migration', () => {
  it('chains what was written before, in the order of its time, and changes nothing of it', async () => {
    const folder = fileURLToPath(new URL('../../prisma/migrations', import.meta.url));
    const chain = '20261125171000_ledger_chain';
    const sqlOf = (name: string) => readFileSync(`${folder}/${name}/migration.sql`, 'utf8');
    const name = `lintel_test_upgrade_${newId().slice(-8)}`;
    await database.owner.query(`CREATE DATABASE ${name}`);
    const url = new URL(database.ownerUrl);
    url.pathname = `/${name}`;
    const owner = new pg.Client({ connectionString: url.href });
    await owner.connect();
    try {
      for (const migration of migrationNames().filter((one) => one < chain)) await owner.query(sqlOf(migration));
      const companies = [newId(), newId()];
      for (const id of companies) {
        await owner.query('INSERT INTO company (id, name) VALUES ($1, $2)', [id, id]);
        // Later ones were written first, several at one instant.
        for (const [n, at] of ['2026-03-01', '2026-01-01', '2026-02-01', '2026-02-01'].entries()) {
          await owner.query(`INSERT INTO ledger_entry (company_id, id, at, actor, action, subject_kind, detail) VALUES ($1, $2, $3, 'test', 'tested', 'door', $4)`,
            [id, newId(), `${at}T08:00:00Z`, JSON.stringify({ ...awkward[n], n })]);
        }
      }
      const before = await owner.query('SELECT * FROM ledger_entry ORDER BY company_id, id');
      await owner.query(sqlOf(chain));
      const after = await owner.query(`SELECT company_id, id, at, account_id, actor, action, subject_kind, subject_id, detail FROM ledger_entry ORDER BY company_id, id`);
      expect(after.rows).toEqual(before.rows);
      for (const id of companies) {
        const { rows: entries } = await owner.query(
          `SELECT detail ->> 'n' AS n, sequence::int, at, id, detail::text, encode(previous_hash, 'hex') AS "previousHash", encode(hash, 'hex') AS hash
           FROM ledger_entry WHERE company_id = $1 ORDER BY sequence`, [id]);
        expect(entries.map(({ n, sequence }) => [n, sequence])).toEqual([['1', 1], ['2', 2], ['3', 3], ['0', 4]]);
        for (const [index, entry] of entries.entries()) {
          const told = { ...entry, companyId: id, at: entry.at.toISOString(), accountId: null, actor: 'test', action: 'tested', subjectKind: 'door', subjectId: null };
          expect(sha256Hex(sealedText(told))).toBe(entry.hash);
          expect(entry.previousHash).toBe(entries[index - 1]?.hash ?? CHAIN_START);
        }
      }
      const heads = await owner.query('SELECT sequence::int FROM ledger_head');
      expect(heads.rows).toEqual([{ sequence: 4 }, { sequence: 4 }]);
    } finally {
      await owner.end();
      await database.owner.query(`DROP DATABASE ${name} WITH (FORCE)`);
    }
  });
});

function seeded(seed: number): () => number {
  let state = seed;
  return () => {
    state = (Math.imul(state, 1_664_525) + 1_013_904_223) >>> 0;
    return state / 2 ** 32;
  };
}

const letters = ['a', 'B', 'é', 'ß', '\u{1f6aa}', '\uffee', '"', '\\', '/', '\n', '\u0001', '1', 'e', '.', ' ', ':', '{', 'n', 's'];
function anything(random: () => number, depth: number): unknown {
  const text = () => Array.from({ length: Math.floor(random() * 6) }, () => letters[Math.floor(random() * letters.length)]).join('');
  const kind = Math.floor(random() * (depth > 0 ? 7 : 5));
  if (kind === 0) return text();
  if (kind === 1) return (random() - 0.5) * 10 ** Math.floor(random() * 60 - 30);
  if (kind === 2) return Math.floor(random() * 1e6) * 10;
  if (kind === 3) return random() < 0.5;
  if (kind === 4) return null;
  const parts = Array.from({ length: Math.floor(random() * 5) }, () => anything(random, depth - 1));
  return kind === 5 ? parts : Object.fromEntries(parts.map((part) => [text(), part]));
}
