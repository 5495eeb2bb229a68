import { createPostgresBackend, runMigrations, withBackend } from 'bullmq';
import type { Job, Processor, Queue, Worker, WorkerOptions } from 'bullmq';
import { Queue as RedisQueue, Worker as RedisWorker } from 'bullmq';
import { Redis } from 'ioredis';
import pg from 'pg';

/** The one queue; jobs differ by name. */
const QUEUE = 'lintel';
const QUEUE_SCHEMA = 'queue';
const DEFAULT_PREFIX = 'lintel';
const RETRIES = { attempts: 4, backoff: { type: 'exponential', delay: 1_000, jitter: 0.5 } } as const;

export interface QueueConnection {
  /** PostgreSQL as the relay: BullMQ runs there, in a schema of its own, unless Redis is given. */
  relayUrl: string;
  redisUrl?: string | undefined;
  /** What all keys on Redis begin with: one for each installation that shares a Redis. */
  redisPrefix?: string | undefined;
}

/** What a job carries. */
export interface Envelope {
  companyId: string;
  /** The id of the request in the outbox, and of the run. */
  runId: string;
  payload: unknown;
}

export interface AddOptions {
  /** While a job with this key is in the queue, another is not added. (BullMQ knows no such key for a piece of another job.) */
  onceKey?: string;
  parent?: { id: string; queue: string };
  attempts?: number;
}

export type QueueJob = Job<Envelope, void>;
export type WorkerSettings = Pick<WorkerOptions, 'concurrency' | 'lockDuration' | 'stalledInterval' | 'maxStalledCount'>;

/** BullMQ on either backend, behind the few words that are used of it. */
export class JobQueue {
  private constructor(
    private readonly connection: QueueConnection,
    private readonly queue: Queue<Envelope, void>,
    private readonly redis: Redis | null,
    private readonly onError: (error: Error) => void,
  ) {
    queue.on('error', onError);
  }

  /** @param onError told of connections that break; they are taken up again by themselves. */
  static async open(connection: QueueConnection, onError: (error: Error) => void): Promise<JobQueue> {
    if (connection.redisUrl !== undefined) {
      const redis = new Redis(connection.redisUrl, { maxRetriesPerRequest: null });
      redis.on('error', onError);
      const queue = new RedisQueue<Envelope, void>(QUEUE, { connection: redis, prefix: prefixOf(connection) });
      await queue.waitUntilReady();
      return new JobQueue(connection, queue, redis, onError);
    }
    await prepareQueueSchema(connection.relayUrl);
    const { Queue: PostgresQueue } = withBackend(createPostgresBackend);
    const queue = new PostgresQueue<Envelope, void>(QUEUE, { connection: postgresOptions(connection, 3) });
    return new JobQueue(connection, queue as unknown as Queue<Envelope, void>, null, onError);
  }

  async add(name: string, envelope: Envelope, options: AddOptions): Promise<void> {
    await this.queue.add(name, envelope, {
      ...RETRIES,
      ...(options.attempts === undefined ? {} : { attempts: options.attempts }),
      removeOnComplete: true,
      // What failed is listed in job_run; the queue keeps a little for whoever looks into it.
      removeOnFail: { count: 200 },
      ...(options.onceKey === undefined ? {} : { deduplication: { id: options.onceKey } }),
      // A piece that failed for good does not hold up the whole, which looks at what is missing.
      ...(options.parent === undefined ? {} : { parent: options.parent, ignoreDependencyOnFailure: true }),
    });
  }

  work(processor: Processor<Envelope, void>, settings: WorkerSettings): Worker<Envelope, void> {
    const options = { ...settings, drainDelay: 2 };
    let worker: Worker<Envelope, void>;
    if (this.redis === null) {
      const { Worker: PostgresWorker } = withBackend(createPostgresBackend);
      const size = (settings.concurrency ?? 1) + 2;
      worker = new PostgresWorker<Envelope, void>(QUEUE, processor, {
        ...options,
        connection: postgresOptions(this.connection, size),
      }) as unknown as Worker<Envelope, void>;
    } else {
      worker = new RedisWorker<Envelope, void>(QUEUE, processor, {
        ...options,
        connection: this.redis,
        prefix: prefixOf(this.connection),
      });
    }
    worker.on('error', this.onError);
    return worker;
  }

  /** Jobs that wait, run or are put off. */
  async size(): Promise<number> {
    return this.queue.getJobCountByTypes('waiting', 'active', 'delayed', 'waiting-children', 'prioritized');
  }

  /** Makes the queue's schema anew if it is lost. */
  async prepare(): Promise<void> {
    if (this.redis === null) await prepareQueueSchema(this.connection.relayUrl);
  }

  async close(): Promise<void> {
    await this.queue.close();
    this.redis?.disconnect();
  }
}

/** Errors of a schema, table or function that is not there. */
export function isQueueLost(error: unknown): boolean {
  const code = (error as { code?: unknown } | null)?.code;
  return code === '3F000' || code === '42P01' || code === '42883' || code === '42704';
}

/** Makes the schema that BullMQ needs, or brings it to its version. Safe from several processes at once. */
export async function prepareQueueSchema(relayUrl: string): Promise<void> {
  const client = new pg.Client({ connectionString: relayUrl });
  await client.connect();
  try {
    await runMigrations(client, QUEUE_SCHEMA);
  } finally {
    await client.end();
  }
}

function postgresOptions({ relayUrl }: QueueConnection, max: number) {
  return { connectionString: relayUrl, schema: QUEUE_SCHEMA, max, application_name: 'lintel-queue' };
}

const prefixOf = ({ redisPrefix }: QueueConnection): string => redisPrefix ?? DEFAULT_PREFIX;
