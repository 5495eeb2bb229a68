import { randomBytes } from 'node:crypto';
import type pg from 'pg';
import type { Log } from '../../apps/worker/src/call.js';
import type { WorkerTiming } from '../../apps/worker/src/worker.js';

/** Backends of the queue to try: PostgreSQL always, Redis where a test server is given. */
export const backends: { name: string; redisUrl: string | undefined }[] = [
  { name: 'PostgreSQL', redisUrl: undefined },
  ...(process.env['LINTEL_TEST_REDIS_URL'] ? [{ name: 'Redis', redisUrl: process.env['LINTEL_TEST_REDIS_URL'] }] : []),
];

/** A prefix of the test's own, so that nothing else on that Redis is seen or touched. */
export const ownPrefix = (): string => `lintel-test-${randomBytes(6).toString('hex')}`;

/** Short, so that faults are made good within a test's patience. */
export const quickTiming: WorkerTiming = { pollMs: 50, scheduleMs: 1_000, handAgainSeconds: 3, lockMs: 2_000, closeMs: 5_000 };

export const quiet: Log = { info: () => undefined, warn: () => undefined, error: () => undefined };

/** Waits for something to hold. It fails by name and last value, not by the test's time running out. */
export async function until<T>(what: string, look: () => Promise<T | null | false | undefined>, limitMs = 45_000): Promise<T> {
  const end = Date.now() + limitMs;
  for (;;) {
    const found = await look();
    if (found !== null && found !== false && found !== undefined) return found;
    if (Date.now() > end) throw new Error(`waited ${limitMs} ms in vain: ${what}`);
    await new Promise((resolve) => setTimeout(resolve, 50));
  }
}

/** Waits until the relay's and the queue's closed connections are gone: dropped with the database, they would cry out. */
export async function noConnections(owner: pg.Client): Promise<void> {
  await until('connections to end', async () => {
    const { rows } = await owner.query(
      `SELECT count(*)::int AS open FROM pg_stat_activity WHERE datname = current_database() AND usename LIKE 'lintel_relay_%'`,
    );
    return rows[0].open === 0;
  });
}
