import type pg from 'pg';
import type { CompanyContext } from '../context.js';
import { enqueueMany } from '../jobs/enqueue.js';
import { kindsToRefit } from './refitPool.js';

/** Several changes of parts within so many seconds are learned from once. */
export const REFIT_AFTER_SECONDS = 30;

/** Asks for new wear models of the kinds of parts whose models are missing or old. */
export async function askForOldRefits(client: pg.ClientBase, context: CompanyContext, now: Date): Promise<void> {
  const kinds = await kindsToRefit(client, context.companyId, now);
  await enqueueMany(client, context, 'refit-pool', kinds.map((kind) => ({ kind })));
}

/** The same for all kinds of parts that are rated, after many parts came at once. */
export async function askForAllRefits(client: pg.ClientBase, context: CompanyContext): Promise<void> {
  const { rows } = await client.query<{ kind: string }>(
    `SELECT DISTINCT kind FROM position WHERE company_id = $1::uuid AND archived_at IS NULL AND (b10_cycles IS NOT NULL OR b10_months IS NOT NULL)`,
    [context.companyId],
  );
  // Once the doors that the file touched are projected: the ages of running parts come from there.
  await enqueueMany(client, context, 'refit-pool', rows, { debounceSeconds: REFIT_AFTER_SECONDS });
}
