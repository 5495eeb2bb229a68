import pg from 'pg';
import { isQueueLost } from './connection.js';
import type { JobQueue } from './connection.js';

export interface RelayOptions {
  relayUrl: string;
  queue: JobQueue;
  /** How often the outbox is looked at, milliseconds. */
  pollMs: number;
  /** A request that has not reported its end after so many seconds is handed over again. */
  handAgainSeconds: number;
  onError: (error: unknown) => void;
}

const BATCH = 200;
/** Requests and runs that ended before so many days are forgotten. */
const KEPT_DAYS = 30;
const FORGET_EVERY_MS = 3_600_000;

interface Request {
  companyId: string;
  id: string;
  job: string;
  payload: unknown;
}

/**
 * Hands what the database has committed over to the queue. Every request is handed over at least once, and again until it has
 * reported its end: so nothing is lost with the queue. Requests that the queue still has are not added twice. Any number of
 * relays may run.
 */
export class Relay {
  private readonly pool: pg.Pool;
  private timer: NodeJS.Timeout | undefined;
  private turn: Promise<void> = Promise.resolve();
  private closed = false;
  private forgottenAt = 0;

  constructor(private readonly options: RelayOptions) {
    this.pool = new pg.Pool({ connectionString: options.relayUrl, max: 2, statement_timeout: 30_000, application_name: 'lintel-relay' });
    this.pool.on('error', options.onError);
    // A connection that the server ends just after the pool was closed has nobody else to tell.
    this.pool.on('connect', (client) => client.on('error', () => undefined));
  }

  start(): void {
    const next = () => {
      this.turn = this.tick().then(
        (handed) => this.again(next, handed === BATCH ? 0 : this.options.pollMs),
        (error: unknown) => {
          this.options.onError(error);
          this.again(next, this.options.pollMs);
        },
      );
    };
    next();
  }

  private again(next: () => void, delayMs: number): void {
    if (!this.closed) this.timer = setTimeout(next, delayMs);
  }

  /** One look at the outbox. Returns how many requests were handed over. */
  async tick(): Promise<number> {
    await this.forget();
    try {
      return await this.handOver();
    } catch (error) {
      if (!isQueueLost(error)) throw error;
      await this.options.queue.prepare();
      return this.handOver();
    }
  }

  private async handOver(): Promise<number> {
    const client = await this.pool.connect();
    try {
      await client.query('BEGIN');
      const requests = await claim(client, this.options.handAgainSeconds);
      await noteWaiting(client, requests);
      for (const { companyId, id, job, payload } of requests) {
        await this.options.queue.add(job, { companyId, runId: id, payload }, { onceKey: id });
      }
      // Only now: if this process ends before, the same requests are handed over again.
      await client.query('COMMIT');
      return requests.length;
    } catch (error) {
      await client.query('ROLLBACK').catch(() => undefined);
      throw error;
    } finally {
      client.release();
    }
  }

  /** Seconds since the oldest request that is due but was never handed over; 0: none. */
  async oldestWaitingSeconds(): Promise<number> {
    const { rows } = await this.pool.query<{ seconds: number }>(
      `SELECT coalesce(extract(epoch FROM now() - min(not_before)), 0)::float8 AS seconds FROM outbox
       WHERE done_at IS NULL AND handed_at IS NULL AND not_before <= now()`,
    );
    return rows[0]!.seconds;
  }

  private async forget(): Promise<void> {
    if (Date.now() - this.forgottenAt < FORGET_EVERY_MS) return;
    this.forgottenAt = Date.now();
    await this.pool.query('DELETE FROM outbox WHERE done_at < now() - make_interval(days => $1)', [KEPT_DAYS]);
    await this.pool.query('DELETE FROM job_run WHERE ended_at < now() - make_interval(days => $1)', [KEPT_DAYS]);
  }

  async close(): Promise<void> {
    this.closed = true;
    clearTimeout(this.timer);
    await this.turn;
    await this.pool.end();
  }
}

async function claim(client: pg.ClientBase, handAgainSeconds: number): Promise<Request[]> {
  const { rows } = await client.query<Request>(
    `WITH due AS (
       SELECT company_id, id FROM outbox
       WHERE done_at IS NULL AND not_before <= now()
         AND (handed_at IS NULL OR handed_at < now() - make_interval(secs => $1))
       ORDER BY not_before LIMIT $2 FOR UPDATE SKIP LOCKED
     )
     UPDATE outbox o SET handed_at = now(), hands = o.hands + 1 FROM due
     WHERE o.company_id = due.company_id AND o.id = due.id
     RETURNING o.company_id AS "companyId", o.id, o.job, o.payload`,
    [handAgainSeconds, BATCH],
  );
  return rows;
}

async function noteWaiting(client: pg.ClientBase, requests: readonly Request[]): Promise<void> {
  await client.query(
    `INSERT INTO job_run (company_id, id, job, payload, state)
     SELECT r.company_id, r.id, r.job, r.payload::jsonb, 'waiting' FROM unnest($1::uuid[], $2::uuid[], $3::text[], $4::text[])
       r(company_id, id, job, payload)
     ON CONFLICT DO NOTHING`,
    [
      requests.map((request) => request.companyId),
      requests.map((request) => request.id),
      requests.map((request) => request.job),
      requests.map((request) => JSON.stringify(request.payload)),
    ],
  );
}
