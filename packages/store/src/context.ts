import { PrismaPg } from '@prisma/adapter-pg';
import pg from 'pg';
import { v7 } from 'uuid';
import { PrismaClient } from './generated/client.js';
import type { Prisma } from './generated/client.js';

/** On whose behalf the store is asked. */
export interface CompanyContext {
  companyId: string;
  /** Null where no person acts (worker, command line). */
  accountId: string | null;
  /** What acts: `web`, `tablet`, `worker`, `cli`. */
  actor: string;
  /** Set for a facility owner: narrows everything to its own sites. */
  ownerId: string | null;
}

/** The Prisma client inside one transaction of one company. */
export type CompanyDb = Prisma.TransactionClient;

export interface StoreOptions {
  appUrl: string;
  /** Connections at most. */
  poolSize?: number;
}

/** A new id: UUID version 7 (RFC 9562), so that keys grow with time and stay close together in the index. */
export const newId = (): string => v7();

const SCOPE = `SELECT set_config('app.company_id', $1, true), set_config('app.owner_id', $2, true)`;
const STATEMENT_TIMEOUT_MS = 60_000;
const LONGEST_TRANSACTION_MS = 300_000;

/**
 * The one door to the data. Whatever is read or written goes through a transaction that is scoped to one company;
 * PostgreSQL itself refuses the rest (row-level security for a role that owns nothing).
 */
export class Store {
  private constructor(
    /** Outside a company only the gate functions can be reached on it. */
    readonly pool: pg.Pool,
    private readonly prisma: PrismaClient,
  ) {}

  static open({ appUrl, poolSize = 10 }: StoreOptions): Store {
    const pool = new pg.Pool({
      connectionString: appUrl,
      max: poolSize,
      statement_timeout: STATEMENT_TIMEOUT_MS,
      idle_in_transaction_session_timeout: LONGEST_TRANSACTION_MS,
      application_name: 'lintel',
    });
    // An idle connection that the server drops is replaced at the next use; unhandled, it would end the process.
    pool.on('error', () => undefined);
    return new Store(pool, new PrismaClient({ adapter: new PrismaPg(pool) }));
  }

  /** One Prisma transaction of one company; rolls back when `work` throws. */
  withCompany<T>(context: CompanyContext, work: (db: CompanyDb) => Promise<T>, options: { timeoutMs?: number } = {}): Promise<T> {
    return this.prisma.$transaction(
      async (db) => {
        await db.$queryRawUnsafe(SCOPE, context.companyId, context.ownerId ?? '');
        return work(db);
      },
      // Prisma's own bounds, 2 s to get a connection and 5 s in all, are too tight for a busy pool.
      { maxWait: 20_000, timeout: options.timeoutMs ?? 60_000 },
    );
  }

  /** The same on a plain `pg` client, for lists, UNNEST and COPY. */
  async withCompanySql<T>(context: CompanyContext, work: (client: pg.PoolClient) => Promise<T>): Promise<T> {
    const client = await this.pool.connect();
    let broken: Error | undefined;
    // A connection that the server ends in the middle fails its query, and says so once more as an event: unhandled, that one
    // would end the process.
    const onLost = (error: Error): void => {
      broken = error;
    };
    client.on('error', onLost);
    try {
      await client.query('BEGIN');
      await client.query(SCOPE, [context.companyId, context.ownerId ?? '']);
      const result = await work(client);
      await client.query('COMMIT');
      return result;
    } catch (error) {
      await client.query('ROLLBACK').catch((failure: Error) => {
        broken = failure;
      });
      throw error;
    } finally {
      client.off('error', onLost);
      client.release(broken);
    }
  }

  async close(): Promise<void> {
    await this.prisma.$disconnect();
    await this.pool.end();
  }
}
