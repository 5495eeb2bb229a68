import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import pg from 'pg';
import { driftFromSchema, enqueue, migrationNames, newId, Store, writeLedger, type CompanyContext } from '@lintel/store';
import { makeSmallFleet, type SmallFleet } from '../support/fleet.js';
import { openTestDatabase, type TestDatabase } from '../support/testDatabase.js';

/** Tables without a company: Prisma's own, and what is asked before a company is known. */
const WITHOUT_COMPANY = ['_prisma_migrations', 'sign_in_throttle'];

describe('the database keeps companies apart', () => {
  let database: TestDatabase;
  let ours: CompanyContext;
  let theirs: CompanyContext;
  let fleet: SmallFleet;
  let theirFleet: SmallFleet;

  beforeAll(async () => {
    // A pool of one connection: a scope that outlived its transaction would show at the next one.
    database = await openTestDatabase({ poolSize: 1 });
    ours = await database.newCompany('Ours');
    theirs = await database.newCompany('Theirs');
    fleet = await makeSmallFleet(database.store, ours);
    theirFleet = await makeSmallFleet(database.store, theirs);
  });
  afterAll(() => database.drop());

  const rows = async (sql: string): Promise<Record<string, unknown>[]> => (await database.owner.query(sql)).rows;

  it('has a schema that says what the migrations made', async () => {
    expect(await driftFromSchema(database.ownerUrl)).toMatch(/^\s*-- This is an empty migration\.\s*$/);
    expect(migrationNames()).toEqual([...migrationNames()].sort());
  });

  it('has the company in the primary key and in every foreign key', async () => {
    const keys = await rows(`
      SELECT c.conrelid::regclass::text AS table, c.conname AS key, c.contype AS kind,
        EXISTS (SELECT FROM unnest(c.conkey) k JOIN pg_attribute a ON a.attrelid = c.conrelid AND a.attnum = k
          WHERE a.attname = 'company_id' OR (c.conrelid = 'company'::regclass AND a.attname = 'id')) AS scoped
      FROM pg_constraint c JOIN pg_class t ON t.oid = c.conrelid
      WHERE c.contype IN ('p', 'f') AND t.relnamespace = 'public'::regnamespace`);
    expect(keys.length).toBeGreaterThan(60);
    const loose = keys.filter((key) => !key['scoped'] && !WITHOUT_COMPANY.includes(String(key['table'])));
    expect(loose).toEqual([]);
  });

  it('has every id column in a foreign key, so that none can point into another company', async () => {
    const loose = await rows(`
      SELECT a.attrelid::regclass::text AS table, a.attname AS column FROM pg_attribute a JOIN pg_class t ON t.oid = a.attrelid
      WHERE t.relkind = 'r' AND t.relnamespace = 'public'::regnamespace AND a.atttypid = 'uuid'::regtype AND a.attname LIKE '%\\_id'
        AND NOT EXISTS (SELECT FROM pg_constraint c WHERE c.contype = 'f' AND c.conrelid = a.attrelid AND a.attnum = ANY (c.conkey))`);
    // The ledger speaks of things of every kind, also of such as are gone.
    expect(loose).toEqual([{ table: 'ledger_entry', column: 'subject_id' }]);
  });

  it('enforces row-level security on every table and view', async () => {
    const open = await rows(`
      SELECT t.relname AS name FROM pg_class t WHERE t.relnamespace = 'public'::regnamespace AND (
        (t.relkind = 'r' AND NOT (t.relrowsecurity AND t.relforcerowsecurity))
        OR (t.relkind = 'v' AND NOT coalesce(t.reloptions::text LIKE '%security_invoker=true%', false))
        OR t.relkind = 'm') ORDER BY 1`);
    expect(open.map((row) => row['name'])).toEqual(WITHOUT_COMPANY);
  });

  it('gives the application a role that owns nothing and cannot bypass', async () => {
    const app = new URL(database.appUrl).username;
    const [role] = await rows(`SELECT rolsuper, rolbypassrls, rolcreaterole, rolcreatedb FROM pg_roles WHERE rolname = '${app}'`);
    expect(role).toEqual({ rolsuper: false, rolbypassrls: false, rolcreaterole: false, rolcreatedb: false });
    expect(await rows(`SELECT FROM pg_class WHERE relowner = '${app}'::regrole`)).toEqual([]);
    const definers = await rows(`SELECT proname FROM pg_proc WHERE prosecdef AND pronamespace = 'public'::regnamespace ORDER BY 1`);
    // Each answers one question that is asked before a company is known, for one secret alone: an e-mail with its password, a feed's or a
    // session's token, a certificate's unguessable number (the public page). The last is a trigger's, which
    // nobody can call: it seals the ledger, whose seals the application may not write.
    expect(definers.map((row) => row['proname'])).toEqual(['gate_account', 'gate_calendar_feed', 'gate_certificate', 'gate_session', 'ledger_note_added', 'ledger_seal_added']);
  });

  it('shows a company its own rows alone, and nothing outside a company', async () => {
    const mine = await database.store.withCompany(ours, (db) => db.door.findMany());
    expect(mine.map((door) => door.id)).toEqual([fleet.doorId]);
    const other = await database.store.withCompanySql(theirs, (client) => client.query('SELECT id FROM door'));
    expect(other.rows).toEqual([{ id: theirFleet.doorId }]);
    const outside = await database.store.pool.query('SELECT id FROM door');
    expect(outside.rows).toEqual([]);
  });

  it('refuses a row of, or a pointer into, another company', async () => {
    const intrude = database.store.withCompany(ours, (db) =>
      db.owner.create({ data: { companyId: theirs.companyId, id: newId(), name: 'Intruder' } }));
    await expect(intrude).rejects.toThrow(/row-level security/);
    const point = database.store.withCompany(ours, (db) =>
      db.counter.create({ data: { companyId: ours.companyId, id: newId(), doorId: theirFleet.doorId, fittedAt: new Date() } }));
    await expect(point).rejects.toThrow(/[Ff]oreign key/);
  });

  it('narrows a facility owner to its own sites', async () => {
    const second = await makeSmallFleet(database.store, ours, ' B');
    const asOwner = { ...ours, ownerId: second.ownerId };
    const seen = await database.store.withCompany(asOwner, async (db) => ({
      owners: await db.owner.findMany(),
      doors: await db.door.findMany(),
      parts: await db.fittedPart.findMany(),
      ledger: await db.ledgerEntry.count(),
    }));
    expect(seen.owners.map((owner) => owner.id)).toEqual([second.ownerId]);
    expect(seen.doors.map((door) => door.id)).toEqual([second.doorId]);
    expect(seen.parts.map((part) => part.id)).toEqual([second.chainId]);
    expect(seen.ledger).toBe(0);
  });

  it('keeps facts: readings, completions and the ledger can be added, not changed', async () => {
    await database.store.withCompanySql(ours, async (client) => {
      await client.query(`INSERT INTO reading (company_id, id, door_id, counter_id, at, value, source) VALUES ($1, $2, $3, $4, now(), 5, 'form')`,
        [ours.companyId, newId(), fleet.doorId, fleet.counterId]);
      await writeLedger(client, ours, { action: 'tested', subjectKind: 'door', subjectId: fleet.doorId });
    });
    for (const table of ['reading', 'ledger_entry', 'completion', 'overdue_notice', 'certificate', 'certificate_withdrawal', 'company_key_secret']) {
      for (const verb of [`UPDATE ${table} SET company_id = company_id`, `DELETE FROM ${table}`]) {
        const change = database.store.withCompanySql(ours, (client) => client.query(verb));
        await expect(change, verb).rejects.toThrow(/permission denied/);
      }
    }
  });

  it('rolls back whole', async () => {
    const failing = database.store.withCompany(ours, async (db) => {
      await enqueue(db, ours, 'project-company', { of: 'rolled back' });
      throw new Error('on purpose');
    });
    await expect(failing).rejects.toThrow('on purpose');
    expect(await rows(`SELECT FROM outbox WHERE payload @> '{"of": "rolled back"}'`)).toEqual([]);
  });

  it('takes requests for the same waiting job together, and asks again once it was handed over', async () => {
    const ask = (): Promise<string> =>
      database.store.withCompany(ours, (db) => enqueue(db, ours, 'project-door', { doorId: fleet.doorId }, { debounceSeconds: 5 }));
    const first = await ask();
    expect(await ask()).toBe(first);
    await database.owner.query('UPDATE outbox SET handed_at = now() WHERE id = $1', [first]);
    expect(await ask()).not.toBe(first);
  });

  it('leaves the relay the outbox and the runs of all companies, and nothing else', async () => {
    const relay = new pg.Client({ connectionString: database.relayUrl });
    await relay.connect();
    const companies = await relay.query<{ id: string }>('SELECT id FROM company');
    expect(companies.rows.map((row) => row.id).sort()).toEqual([ours.companyId, theirs.companyId].sort());
    await expect(relay.query('SELECT name FROM company')).rejects.toThrow(/permission denied/);
    await expect(relay.query('SELECT id FROM door')).rejects.toThrow(/permission denied/);
    await relay.end();
  });

  it('can be prepared by several processes at once', async () => {
    const { prepareDatabase } = await import('@lintel/store');
    const prepared = await Promise.all([1, 2, 3].map(() => prepareDatabase(database.ownerUrl)));
    expect(prepared.map((one) => one.applied)).toEqual([[], [], []]);
    const store = Store.open({ appUrl: prepared[0]!.appUrl, poolSize: 1 });
    expect(await store.withCompany(ours, (db) => db.company.count())).toBe(1);
    await store.close();
  });
});
