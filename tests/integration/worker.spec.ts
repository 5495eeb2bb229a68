import { execFileSync, spawn, type ChildProcess } from 'node:child_process';
import { once } from 'node:events';
import { Readable } from 'node:stream';
import { fileURLToPath } from 'node:url';
import pg from 'pg';
import { Redis } from 'ioredis';
import { afterAll, afterEach, beforeAll, describe, expect, it } from 'vitest';
import { enqueue, newId, storeUpload, writeLedger, type CompanyContext } from '@lintel/store';
import { startWorker, type RunningWorker } from '../../apps/worker/src/index.js';
import { makeSmallFleet, type SmallFleet } from '../support/fleet.js';
import { makeProjectionFleet } from '../support/projectionFleet.js';
import { backends, noConnections, ownPrefix, quickTiming, quiet, until } from '../support/queue.js';
import { openTestDatabase, type TestDatabase } from '../support/testDatabase.js';

const root = fileURLToPath(new URL('../..', import.meta.url));
const DOORS = 60;

describe.each(backends)('the worker on $name', ({ redisUrl }) => {
  let database: TestDatabase;
  let context: CompanyContext;
  let fleet: SmallFleet;
  const redisPrefix = ownPrefix();
  const running: RunningWorker[] = [];
  const children: ChildProcess[] = [];

  const options = (more: object = {}) => ({
    appUrl: database.appUrl, relayUrl: database.relayUrl, redisUrl, redisPrefix, concurrency: 2, timing: quickTiming, schedule: false, chunkDoors: 5, ...more,
  });
  const start = async (more: object = {}): Promise<RunningWorker> => {
    const worker = await startWorker({ ...options(more), log: quiet });
    running.push(worker);
    return worker;
  };
  /** A worker in a process of its own, ready to work. */
  const startChild = async (): Promise<ChildProcess> => {
    const child = spawn(process.execPath, [`${root}tests/support/workerProcess.mjs`, JSON.stringify(options())], { cwd: root, stdio: ['ignore', 'pipe', 'inherit'] });
    children.push(child);
    let said = '';
    child.stdout.on('data', (piece: Buffer) => (said += piece.toString()));
    await until('the worker process', async () => {
      if (child.exitCode !== null) throw new Error(`worker process ended with ${child.exitCode}: ${said}`);
      return said.includes('ready');
    });
    return child;
  };
  const kill = async (child: ChildProcess): Promise<void> => {
    if (child.exitCode !== null || child.signalCode !== null) return;
    child.kill('SIGKILL');
    await once(child, 'exit');
  };
  const ask = (job: string, payload: Record<string, unknown> = {}) => database.store.withCompany(context, (db) => enqueue(db, context, job, payload));
  const run = async (id: string) => (await database.owner.query('SELECT state, done, total, attempts, error FROM job_run WHERE id = $1', [id])).rows[0];
  const ended = (id: string) =>
    until(`run ${id} to end`, async () => {
      const found = await run(id);
      return found !== undefined && ['done', 'failed', 'cancelled'].includes(found.state) && found;
    });
  const count = async (sql: string, values: unknown[] = []): Promise<number> => Number((await database.owner.query(`SELECT count(*) FROM ${sql}`, values)).rows[0].count);
  /** Keeps the last doors locked, so that no run over all of them can end before they are let go. */
  const holdLastDoors = async (): Promise<() => Promise<void>> => {
    const holder = new pg.Client({ connectionString: database.ownerUrl });
    await holder.connect();
    await holder.query('BEGIN');
    await holder.query('SELECT id FROM door WHERE company_id = $1 ORDER BY id DESC LIMIT 20 FOR UPDATE', [context.companyId]);
    return async () => {
      await holder.query('ROLLBACK');
      await holder.end();
    };
  };
  /** The queue as it would be after its loss: schema dropped, or keys of this test gone. */
  const loseQueue = async (): Promise<void> => {
    if (redisUrl === undefined) {
      // A running worker holds its tables in an order of its own: of two that wait for each other PostgreSQL ends one.
      for (let left = 20; ; left -= 1) {
        try {
          await database.owner.query('DROP SCHEMA queue CASCADE');
          return;
        } catch (error) {
          if (left === 0 || (error as { code?: string }).code !== '40P01') throw error;
        }
      }
    }
    const redis = new Redis(redisUrl);
    for await (const keys of redis.scanStream({ match: `${redisPrefix}:*` })) if ((keys as string[]).length > 0) await redis.del(...(keys as string[]));
    redis.disconnect();
  };

  beforeAll(async () => {
    execFileSync(process.execPath, [`${root}node_modules/typescript/bin/tsc`, '-b', 'apps/worker'], { cwd: root, stdio: 'inherit' });
    database = await openTestDatabase();
    context = await database.newCompany();
    fleet = await makeSmallFleet(database.store, context);
    await database.store.withCompany(context, (db) =>
      db.door.createMany({
        data: Array.from({ length: DOORS - 1 }, (_, k) => ({
          companyId: context.companyId, id: newId(), siteId: fleet.siteId, doorTypeId: fleet.doorTypeId, name: `D-${k}`, widthMm: 3000, heightMm: 3000, installedOn: new Date('2024-01-15'),
        })),
      }),
    );
  });
  afterEach(async () => {
    await Promise.all(running.splice(0).map((worker) => worker.close()));
    await Promise.all(children.splice(0).map(kill));
  });
  afterAll(async () => {
    await loseQueue().catch(() => undefined);
    await noConnections(database.owner);
    await database.drop();
  });

  it('projects a company in pieces and a door by itself', async () => {
    await start();
    const id = await ask('project-company');
    expect(await ended(id)).toMatchObject({ state: 'done', done: DOORS, total: DOORS, attempts: 1, error: null });
    expect(await count('door_duty')).toBe(DOORS);
    expect(await count('job_effect WHERE run_id = $1', [id])).toBe(DOORS / 5);
    const before = (await database.owner.query('SELECT projected_at FROM door_duty WHERE door_id = $1', [fleet.doorId])).rows[0].projected_at;
    expect(await ended(await ask('project-door', { doorId: fleet.doorId }))).toMatchObject({ state: 'done', done: 1 });
    const after = (await database.owner.query('SELECT projected_at FROM door_duty WHERE door_id = $1', [fleet.doorId])).rows[0].projected_at;
    expect(after.getTime()).toBeGreaterThan(before.getTime());
  });

  it('killed in the middle of a run: the rest is done at the next start, each piece once', async () => {
    const child = await startChild();
    const letGo = await holdLastDoors();
    const id = await ask('project-company');
    await until('some pieces', async () => (await count('job_effect WHERE run_id = $1', [id])) >= 3);
    await kill(child);
    await letGo();
    const done = await count('job_effect WHERE run_id = $1', [id]);
    expect(done).toBeLessThan(DOORS / 5);
    expect((await run(id)).state).toBe('running');
    const stamps = async () => new Map((await database.owner.query('SELECT door_id, projected_at FROM door_duty')).rows.map((row) => [row.door_id, row.projected_at.getTime()]));
    const early = await stamps();
    await start();
    expect(await ended(id)).toMatchObject({ state: 'done', done: DOORS, total: DOORS });
    expect(await count('job_effect WHERE run_id = $1', [id])).toBe(DOORS / 5);
    // Doors of pieces that were done before the kill were not projected again.
    const late = await stamps();
    const again = [...late].filter(([doorId, stamp]) => stamp !== early.get(doorId)).length;
    expect(again).toBeGreaterThan(0);
    expect(again).toBeLessThanOrEqual(DOORS - 5 * done);
  });

  it('the queue lost after the request was handed over: done all the same', async () => {
    const letGo = await holdLastDoors();
    const id = await ask('project-company');
    const child = await startChild();
    await until('handed over', async () => (await count('outbox WHERE id = $1 AND handed_at IS NOT NULL', [id])) === 1);
    await kill(child);
    await loseQueue();
    await letGo();
    expect((await run(id)).state).not.toBe('done');
    await start();
    expect(await ended(id)).toMatchObject({ state: 'done', done: DOORS });
  });

  it('the queue lost under a running worker: taken up again without a restart', async () => {
    await start();
    expect((await ended(await ask('project-door', { doorId: fleet.doorId }))).state).toBe('done');
    await loseQueue();
    const id = await ask('project-company');
    expect(await ended(id)).toMatchObject({ state: 'done', done: DOORS });
  });

  it('two workers at once: every effect once', async () => {
    await Promise.all([start(), start()]);
    const site = await makeProjectionFleet(database.store, await otherCompany());
    const other = { ...context, companyId: otherId };
    const askOther = (job: string, payload: Record<string, unknown> = {}) => database.store.withCompany(other, (db) => enqueue(db, other, job, payload));
    expect((await ended(await askOther('project-company'))).state).toBe('done');
    const sweeps = await Promise.all([1, 2, 3, 4].map((k) => askOther('sweep-inspections', { siteId: site.siteId, on: `2031-01-0${k}` })));
    for (const id of sweeps) expect((await ended(id)).state).toBe('done');
    const items = await count('due_item WHERE company_id = $1 AND safety', [otherId]);
    expect(items).toBeGreaterThan(5);
    expect(await count('overdue_notice WHERE company_id = $1', [otherId])).toBe(items);
    expect(await count(`ledger_entry WHERE company_id = $1 AND action = 'inspection-overdue'`, [otherId])).toBe(items);
  });
  let otherId = '';
  const otherCompany = async (): Promise<CompanyContext> => {
    const other = await database.newCompany('Other');
    otherId = other.companyId;
    return other;
  };

  it('a job that fails is listed with its reason, and done when it is asked for again', async () => {
    await start();
    const bad = await ask('project-door', { doorId: 'no id at all' });
    expect(await ended(bad)).toMatchObject({ state: 'failed', attempts: 1, error: expect.stringContaining('doorId') });
    await database.owner.query(`UPDATE site SET time_zone = 'Nowhere/Atall' WHERE id = $1`, [fleet.siteId]);
    const id = await ask('project-door', { doorId: fleet.doorId });
    const failed = await ended(id);
    expect(failed).toMatchObject({ state: 'failed', attempts: 4, error: expect.stringContaining('Nowhere/Atall') });
    await database.owner.query(`UPDATE site SET time_zone = 'Europe/Oslo' WHERE id = $1`, [fleet.siteId]);
    // What the API does when somebody presses 'retry'.
    await database.store.withCompany(context, async (db) => {
      await db.jobRun.updateMany({ where: { id }, data: { state: 'waiting', error: null, endedAt: null } });
      await db.outbox.updateMany({ where: { id }, data: { handedAt: null, doneAt: null, hands: 0, notBefore: new Date() } });
    });
    await until('the retry to be done', async () => (await run(id)).state === 'done');
    expect((await run(id)).error).toBeNull();
  });

  it('doors that cannot be computed are told of, and do not fail the company', async () => {
    await start();
    const siteId = newId();
    const doorId = newId();
    await database.store.withCompany(context, async (db) => {
      const { companyId } = context;
      await db.site.create({ data: { companyId, id: siteId, ownerId: fleet.ownerId, name: 'Odd', countryCode: 'NO', timeZone: 'Nowhere/Atall' } });
      await db.door.create({ data: { companyId, id: doorId, siteId, doorTypeId: fleet.doorTypeId, name: 'odd', widthMm: 3000, heightMm: 3000, installedOn: new Date('2024-01-15') } });
    });
    expect(await ended(await ask('project-company'))).toMatchObject({ state: 'done', done: DOORS + 1, error: expect.stringContaining(doorId) });
  });

  it('brings an uploaded file in, and stops one that is cancelled before it starts', async () => {
    const lines = Array.from({ length: 50 }, (_, k) => `F-01,2026-0${1 + (k % 9)}-${String(1 + (k % 27)).padStart(2, '0')}T08:00:00Z,${1000 + k}`);
    const file = Buffer.from(`door,at,value\n${lines.join('\n')}\n`);
    const upload = () => storeUpload(database.store, context, { kind: 'readings', fileName: 'r.csv', body: Readable.from([file]) });
    const importId = await upload();
    const id = await ask('import-file', { importId });
    const other = await upload();
    const cancelled = await ask('import-file', { importId: other });
    await database.owner.query(`INSERT INTO job_run (company_id, id, job, payload, state, cancel_requested) VALUES ($1, $2, 'import-file', $3, 'waiting', true)`, [context.companyId, cancelled, JSON.stringify({ importId: other })]);
    await start();
    expect(await ended(id)).toMatchObject({ state: 'done' });
    expect((await ended(cancelled)).state).toBe('cancelled');
    const { rows } = await database.owner.query('SELECT id, state, accepted + unchanged + refused AS seen, (SELECT count(*)::int FROM import_chunk c WHERE c.import_id = i.id) AS chunks FROM import i ORDER BY created_at');
    expect(rows).toEqual([
      { id: importId, state: 'done', seen: 50, chunks: 0 },
      { id: other, state: 'cancelled', seen: 0, chunks: 0 },
    ]);
  });

  it('checks the ledger, and fails at once and loudly where an entry does not fit', async () => {
    await database.store.withCompany(context, (db) => writeLedger(db, context, { action: 'tested', subjectKind: 'door', subjectId: null }));
    await start();
    expect(await ended(await ask('check-ledger'))).toMatchObject({ state: 'done', error: null });
    const { rows } = await database.owner.query('SELECT id, sequence::int FROM ledger_entry WHERE company_id = $1 ORDER BY sequence DESC LIMIT 1', [context.companyId]);
    await database.owner.query(`UPDATE ledger_entry SET actor = actor || ' ' WHERE company_id = $1 AND id = $2`, [context.companyId, rows[0].id]);
    const failed = await ended(await ask('check-ledger'));
    expect(failed).toMatchObject({ state: 'failed', attempts: 1 });
    expect(failed.error).toMatch(new RegExp(`^The ledger does not hold. Entry ${rows[0].sequence} \\(id ${rows[0].id}, .*Z\\) does not say what was sealed`));
    expect(await count(`ledger_check WHERE company_id = $1 AND fault IS NOT NULL`, [context.companyId])).toBe(1);
  });

  it('asks by the clock on its own', async () => {
    await start({ schedule: true });
    await until('a sweep of each site today', async () => (await count(`job_run WHERE job = 'sweep-inspections' AND state = 'done' AND company_id = $1`, [context.companyId])) >= 1);
    expect(await count(`outbox WHERE job = 'sweep-inspections' AND company_id = $1 AND payload ->> 'siteId' = $2`, [context.companyId, fleet.siteId])).toBe(1);
  });
});
