import type { ForceLimitSet } from '@lintel/contract';
import { changeForceLimit } from '@lintel/engine';
import { newId, type CompanyContext, type CompanyDb } from '../context.js';
import { writeLedger } from '../ledger/writeLedger.js';
import { forceLimitsInUse } from './forceLimitsInUse.js';

/** What is changed, by whom, over which version of the table. */
export interface ForceLimitDeed extends ForceLimitSet {
  version: number;
  byName: string;
  now: Date;
}

/**
 * Adds a version of the company's force limits with one value changed. Orders released before keep the table that they were
 * released with.
 * @returns null; or why not: the engine's refusal, or `stale` where the table is at another version by now.
 */
export async function setForceLimit(db: CompanyDb, context: CompanyContext, deed: ForceLimitDeed) {
  const { row, value, reason, version, byName, now } = deed;
  const { table } = await forceLimitsInUse(db);
  if (table.version !== version) return { refused: 'stale' as const, facts: { version: table.version } };
  const on = now.toISOString().slice(0, 10);
  const next = changeForceLimit(table, { row, value, by: byName, on, ...(reason !== undefined && { reason }) });
  if ('refused' in next) return next;
  const id = newId();
  // Two at once: the number is unique, the second one fails and finds the table changed.
  await db.forceLimitVersion.create({
    data: { companyId: context.companyId, id, number: next.version, limits: next as object, accountId: context.accountId, madeAt: now },
  });
  const { from, to, loosened, reason: why } = next.changes.at(-1)!;
  const detail = { row, from, to, unit: table.rows[row].unit, loosened, reason: why, version: next.version };
  await writeLedger(db, context, { action: loosened ? 'force-limit-loosened' : 'force-limit-tightened', subjectKind: 'force-limits', subjectId: id, detail });
  return null;
}
