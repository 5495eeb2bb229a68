import { newId, type CompanyContext } from '../context.js';
import { runSql, type CompanyTransaction } from '../sqlRunner.js';

export interface EnqueueOptions {
  /** Not before so many seconds from now: several requests meanwhile become one. */
  debounceSeconds?: number;
}

/**
 * Asks the queue for a job, in the caller's own transaction: committed together with what it is about, or not at all.
 * A request for the same job with the same payload that was not handed to the queue yet stands for this one too, unless it
 * is to wait longer than this one.
 * @returns the id of the request, which is also the id of the run.
 */
export async function enqueue(
  transaction: CompanyTransaction,
  context: CompanyContext,
  job: string,
  payload: Record<string, unknown>,
  options: EnqueueOptions = {},
): Promise<string> {
  const [id] = await enqueueMany(transaction, context, job, [payload], options);
  return id as string;
}

/** The same for many payloads of one job at once. */
export async function enqueueMany(
  transaction: CompanyTransaction,
  context: CompanyContext,
  job: string,
  payloads: readonly Record<string, unknown>[],
  options: EnqueueOptions = {},
): Promise<string[]> {
  if (payloads.length === 0) return [];
  const rows = await runSql<{ id: string }>(
    transaction,
    `WITH asked AS (SELECT * FROM unnest($2::uuid[], $4::text[]) AS a(id, payload)),
      -- Locked until we commit, so that the relay (SKIP LOCKED) cannot run it before our own rows can be seen.
      locked AS MATERIALIZED (
        SELECT o.id, o.payload FROM outbox o JOIN asked a ON o.payload = a.payload::jsonb
        WHERE o.company_id = $1::uuid AND o.job = $3 AND o.handed_at IS NULL AND o.done_at IS NULL
        FOR KEY SHARE OF o
      ),
      -- Held until this transaction ends: the relay passes such a row over, so what is done for it has seen this one's changes.
      waiting AS MATERIALIZED (
        SELECT o.id, o.payload FROM outbox o
        WHERE o.company_id = $1::uuid AND o.job = $3 AND o.handed_at IS NULL AND o.done_at IS NULL
          AND o.payload IN (SELECT a.payload::jsonb FROM asked a)
          -- The column keeps milliseconds, rounded: a request of this very transaction may lie a fraction later.
          AND o.not_before <= now() + make_interval(secs => $5::int) + interval '1 millisecond'
        FOR SHARE OF o
      ),
      added AS (
        INSERT INTO outbox (company_id, id, job, payload, not_before)
        SELECT $1::uuid, a.id, $3, a.payload::jsonb, now() + make_interval(secs => $5::int)
        FROM asked a WHERE NOT EXISTS (SELECT FROM waiting w WHERE w.payload = a.payload::jsonb)
        RETURNING id
      )
    SELECT id::text FROM added UNION ALL (SELECT DISTINCT ON (payload) id::text FROM waiting ORDER BY payload, id)`,
    [context.companyId, payloads.map(() => newId()), job, payloads.map((payload) => JSON.stringify(payload)), options.debounceSeconds ?? 0],
  );
  return rows.map((row) => row.id);
}
