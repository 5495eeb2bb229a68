import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { BadJob, JobQueue, JobRegistry, prepareQueueSchema, queueJobs, Relay, RunBook, Schedule, type QueueJob, type QueueJobName } from '@lintel/queue';
import { enqueue, newId, type CompanyContext } from '@lintel/store';
import { makeSmallFleet } from '../support/fleet.js';
import { backends, noConnections, ownPrefix, until } from '../support/queue.js';
import { openTestDatabase, type TestDatabase } from '../support/testDatabase.js';

const nothing = async (): Promise<void> => undefined;
const rethrow = (error: unknown): void => {
  throw error;
};

describe('the registry of jobs', () => {
  it('has one handler and one schema for each name, or the start fails', () => {
    const registry = new JobRegistry<object>();
    const names = Object.keys(queueJobs) as QueueJobName[];
    expect(names).toEqual(expect.arrayContaining(['project-company', 'project-chunk', 'project-door', 'import-file', 'sweep-inspections']));
    for (const name of names.slice(1)) registry.handle(name, nothing);
    expect(() => registry.complete()).toThrow(`no handler for job ${names[0]}`);
    registry.handle(names[0]!, nothing);
    expect(registry.complete()).toBe(registry);
    expect(() => registry.handle('project-door', nothing)).toThrow('two handlers');
    expect(() => registry.handle('no-such-job' as 'project-door', nothing)).toThrow('no payload schema');
  });

  it('refuses a payload that is not what the schema asks for, naming the field', async () => {
    const seen: unknown[] = [];
    const registry = new JobRegistry<object>().handle('project-door', async (_, payload) => void seen.push(payload));
    const doorId = newId();
    expect(() => registry.run('project-door', {}, { doorId: 'x' })).toThrow(BadJob);
    expect(() => registry.run('project-door', {}, { doorId: 'x' })).toThrow('doorId');
    expect(() => registry.run('project-door', {}, { doorId, more: 1 })).toThrow(BadJob);
    expect(() => registry.run('mystery', {}, {})).toThrow('there is no job "mystery"');
    await registry.run('project-door', {}, { doorId });
    expect(seen).toEqual([{ doorId }]);
  });
});

describe.each(backends)('from the outbox to the queue on $name', ({ redisUrl }) => {
  let database: TestDatabase;
  let context: CompanyContext;
  let queue: JobQueue;
  let relay: Relay;
  const got: { name: string; runId: string; companyId: string }[] = [];

  beforeAll(async () => {
    database = await openTestDatabase();
    context = await database.newCompany();
    queue = await JobQueue.open({ relayUrl: database.relayUrl, redisUrl, redisPrefix: ownPrefix() }, rethrow);
    relay = new Relay({ relayUrl: database.relayUrl, queue, pollMs: 50, handAgainSeconds: 0, onError: rethrow });
  });
  afterAll(async () => {
    await relay.close();
    await queue.close();
    await noConnections(database.owner);
    await database.drop();
  });

  const ask = (job: string, payload: Record<string, unknown>, seconds = 0) =>
    database.store.withCompany(context, (db) => enqueue(db, context, job, payload, { debounceSeconds: seconds }));
  const outbox = async (id: string) => (await database.owner.query('SELECT hands, handed_at, done_at FROM outbox WHERE id = $1', [id])).rows[0];

  it('hands over what is committed, once it is due, and notes that it waits', async () => {
    const id = await ask('project-company', {});
    const later = await ask('project-door', { doorId: newId() }, 3600);
    await database.store
      .withCompany(context, async (db) => {
        await enqueue(db, context, 'project-door', { doorId: newId() });
        throw new Error('rolled back');
      })
      .catch(() => undefined);
    expect(await relay.oldestWaitingSeconds()).toBeGreaterThan(0);
    expect(await relay.tick()).toBe(1);
    expect(await relay.oldestWaitingSeconds()).toBe(0);
    expect(await queue.size()).toBe(1);
    expect((await outbox(id)).hands).toBe(1);
    expect((await outbox(later)).handed_at).toBeNull();
    const { rows } = await database.owner.query('SELECT id, job, state FROM job_run');
    expect(rows).toEqual([{ id, job: 'project-company', state: 'waiting' }]);
  });

  it('hands over again what has not ended, but does not add twice what the queue still has', async () => {
    await until('handed again', async () => (await relay.tick()) === 1);
    expect(await queue.size()).toBe(1);
  });

  it('several requests for one door meanwhile are one', async () => {
    const doorId = newId();
    const ids = [await ask('project-door', { doorId }, 60), await ask('project-door', { doorId }, 60), await ask('project-door', { doorId }, 60)];
    expect(new Set(ids).size).toBe(1);
    // Who wants it at once does not wait with them.
    const atOnce = await ask('project-door', { doorId });
    expect(ids).not.toContain(atOnce);
    await database.owner.query('UPDATE outbox SET done_at = now() WHERE id = $1', [atOnce]);
  });

  it('a worker gets what it was asked, and the run is as people see it', async () => {
    const worker = queue.work(
      async (job: QueueJob) => {
        got.push({ name: job.name, runId: job.data.runId, companyId: job.data.companyId });
        const book = new RunBook(database.store, context, job.data.runId);
        expect((await book.begin(1)).over).toBe(false);
        await book.progress(0, 10);
        await Promise.all([book.partDone('a', 4), book.partDone('a', 4), book.partDone('a', 4)]);
        expect(await book.partsDone()).toEqual(new Set(['a']));
        const { rows } = await database.owner.query('SELECT state, done, total FROM job_run WHERE id = $1', [job.data.runId]);
        expect(rows).toEqual([{ state: 'running', done: 4, total: 10 }]);
        await book.end('done', null);
        expect((await book.begin(1)).over).toBe(true);
      },
      { concurrency: 2, lockDuration: 5_000, stalledInterval: 5_000, maxStalledCount: 1 },
    );
    const failures: Error[] = [];
    worker.on('failed', (_, error) => failures.push(error));
    const { rows } = await until('the run to end', async () => {
      const found = await database.owner.query(`SELECT id, state, done, total, ended_at FROM job_run WHERE state = 'done'`);
      if (failures[0]) throw failures[0];
      return found.rows.length > 0 && found;
    });
    await worker.close();
    expect(rows[0]).toMatchObject({ done: 10, total: 10 });
    expect(got).toEqual([{ name: 'project-company', runId: rows[0].id, companyId: context.companyId }]);
    expect((await outbox(rows[0].id)).done_at).not.toBeNull();
    await until('the queue to be empty', async () => (await queue.size()) === 0);
    expect(await relay.tick()).toBe(0);
  });

  it('one run stands for others that ask for just the same before it looks', async () => {
    const doorId = newId();
    const first = await ask('project-door', { doorId });
    await relay.tick();
    const second = await ask('project-door', { doorId });
    expect(second).not.toBe(first);
    await relay.tick();
    const other = await ask('project-door', { doorId: newId() });
    const open = await ask('project-door', { doorId });
    const book = new RunBook(database.store, context, first);
    const begun = await book.begin(1);
    // Not the last: who asks next may still join it.
    expect(begun.standsFor).toEqual([second]);
    expect(await ask('project-door', { doorId })).toBe(open);
    await book.end('done', null, begun.standsFor);
    const ended = await Promise.all([first, second, other, open].map(async (id) => (await outbox(id)).done_at !== null));
    expect(ended).toEqual([true, true, false, false]);
  });

  it('is not handed over while a transaction that joined it is open', async () => {
    const doorId = newId();
    const id = await ask('project-door', { doorId });
    await database.store.withCompany(context, async (db) => {
      expect(await enqueue(db, context, 'project-door', { doorId })).toBe(id);
      await relay.tick();
      expect((await outbox(id)).handed_at).toBeNull();
    });
    await relay.tick();
    expect((await outbox(id)).handed_at).not.toBeNull();
    expect(await ask('project-door', { doorId })).not.toBe(id);
  });
});

describe('the schedule', () => {
  let database: TestDatabase;
  afterAll(async () => {
    await noConnections(database.owner);
    await database.drop();
  });

  it('asks for each site on each of its days and for each company each night, once, whoever looks, and makes up for what was missed', async () => {
    database = await openTestDatabase();
    const context = await database.newCompany();
    const { siteId, ownerId } = await makeSmallFleet(database.store, context);
    const tokyo = newId();
    await database.store.withCompany(context, (db) =>
      db.site.createMany({
        data: [
          { companyId: context.companyId, id: tokyo, ownerId, name: 'Tokyo', countryCode: 'JP', timeZone: 'Asia/Tokyo' },
          { companyId: context.companyId, id: newId(), ownerId, name: 'Old', countryCode: 'NO', timeZone: 'Europe/Oslo', archivedAt: new Date() },
          { companyId: context.companyId, id: newId(), ownerId, name: 'Nowhere', countryCode: 'NO', timeZone: 'Nowhere/Atall' },
        ],
      }),
    );
    const errors: unknown[] = [];
    const schedules = [1, 2, 3].map(() => new Schedule(database.relayUrl, (error) => errors.push(error)));
    const look = async (at: string) => {
      const counts = await Promise.all(schedules.map((schedule) => schedule.look(new Date(at))));
      // As if it had been asked for at that time.
      await database.owner.query('UPDATE outbox SET created_at = $1 WHERE created_at > now() - interval \'1 hour\'', [at]);
      return counts.reduce((a, b) => a + b);
    };
    const sweeps = async () =>
      (await database.owner.query(`SELECT payload ->> 'siteId' AS site, payload ->> 'on' AS "on" FROM outbox WHERE job = 'sweep-inspections' ORDER BY 2, 1`)).rows;
    const nights = async () => Object.fromEntries((await database.owner.query(
      `SELECT job, count(*)::int FROM outbox WHERE job IN ('project-company', 'check-ledger') GROUP BY 1 ORDER BY 1`)).rows.map((row) => [row.job, row.count]));
    // 22:30 in Oslo (winter), 06:30 of the next day in Tokyo. A night asks for a projection and a check of the ledger.
    expect(await look('2026-01-15T21:30:00Z')).toBe(4);
    expect(await sweeps()).toEqual([{ site: siteId, on: '2026-01-15' }, { site: tokyo, on: '2026-01-16' }]);
    expect(await nights()).toEqual({ 'check-ledger': 1, 'project-company': 1 });
    expect(await look('2026-01-15T22:59:59Z')).toBe(0);
    // Midnight in Oslo.
    expect(await look('2026-01-15T23:00:00Z')).toBe(1);
    // Two in the morning in Oslo (the first of two zones with one site each, by name, is Tokyo: its night began at 17:00 UTC).
    expect(await look('2026-01-16T01:00:00Z')).toBe(0);
    expect(await look('2026-01-16T15:00:00Z')).toBe(1);
    expect(await look('2026-01-16T17:00:00Z')).toBe(2);
    expect(await nights()).toEqual({ 'check-ledger': 2, 'project-company': 2 });
    // Nobody looked for a week: one sweep a site for today, one projection, one check.
    expect(await look('2026-01-24T12:00:00Z')).toBe(4);
    expect(await look('2026-01-24T12:00:30Z')).toBe(0);
    expect((await sweeps()).slice(-2)).toEqual(expect.arrayContaining([{ site: siteId, on: '2026-01-24' }, { site: tokyo, on: '2026-01-24' }]));
    expect(String(errors[0])).toContain('Nowhere/Atall');
    await Promise.all(schedules.map((schedule) => schedule.close()));
  });

  it('the relay role sees no more than it needs', async () => {
    await prepareQueueSchema(database.relayUrl);
    const schedule = new Schedule(database.relayUrl, rethrow);
    const pool = (schedule as unknown as { pool: { query(sql: string): Promise<unknown> } }).pool;
    for (const sql of ['SELECT name FROM site', 'SELECT * FROM door', 'SELECT * FROM account', 'SELECT name FROM company', 'INSERT INTO company (id, name) VALUES (gen_random_uuid(), \'x\')']) {
      await expect(pool.query(sql), sql).rejects.toThrow('permission denied');
    }
    await schedule.close();
  });
});
