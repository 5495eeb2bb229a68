import type { CompanyContext, CompanyDb } from '../context.js';
import { enqueue } from '../jobs/enqueue.js';
import { writeLedger } from '../ledger/writeLedger.js';

/** How a deed at a wear model ended: done, or why not. */
export type WearModelDeed = 'done' | 'not-there' | 'fixed-already' | 'not-fixed';

/**
 * Fixes one version of a wear model: it is in use, whatever is learned later, until it is released. Another version of the same model
 * that was fixed is so no more. The fleet is projected anew where another version was in use.
 */
export async function fixWearModel(db: CompanyDb, context: CompanyContext, id: string, note: string): Promise<WearModelDeed> {
  const model = await lockModel(db, id);
  if (model === null) return 'not-there';
  if (model.fixedAt !== null) return 'fixed-already';
  const { positionId, climate, inUse } = model;
  await db.wearModel.updateMany({
    where: { positionId, climate, inUse: true },
    data: { inUse: false, fixedAt: null, fixedById: null, fixedNote: null, version: { increment: 1 } },
  });
  await db.wearModel.updateMany({
    where: { id },
    data: { inUse: true, fixedAt: new Date(), fixedById: context.accountId, fixedNote: note, version: { increment: 1 } },
  });
  await writeLedger(db, context, { action: 'wear-model-fixed', subjectKind: 'wear-model', subjectId: id, detail: { number: model.number, note } });
  if (!inUse) await enqueue(db, context, 'project-company', {});
  return 'done';
}

/** Releases a fixed version: from now on the newest is in use. */
export async function releaseWearModel(db: CompanyDb, context: CompanyContext, id: string, note: string): Promise<WearModelDeed> {
  const model = await lockModel(db, id);
  if (model === null) return 'not-there';
  if (model.fixedAt === null) return 'not-fixed';
  const { positionId, climate } = model;
  await db.wearModel.updateMany({
    where: { id },
    data: { inUse: false, fixedAt: null, fixedById: null, fixedNote: null, version: { increment: 1 } },
  });
  const newest = await db.wearModel.findFirstOrThrow({ where: { positionId, climate }, orderBy: { number: 'desc' }, select: { id: true } });
  await db.wearModel.updateMany({ where: { id: newest.id }, data: { inUse: true, version: { increment: 1 } } });
  await writeLedger(db, context, { action: 'wear-model-released', subjectKind: 'wear-model', subjectId: id, detail: { number: model.number, note } });
  if (newest.id !== id) await enqueue(db, context, 'project-company', {});
  return 'done';
}

/** The version, under the lock that a refit of its kind takes: neither sees the other half done. */
async function lockModel(db: CompanyDb, id: string) {
  const found = await db.wearModel.findFirst({ where: { id }, select: { companyId: true, position: { select: { kind: true } } } });
  if (found === null) return null;
  await lockPool(db, found.companyId, found.position.kind);
  return db.wearModel.findFirst({ where: { id }, select: { positionId: true, climate: true, number: true, inUse: true, fixedAt: true } });
}

const lockPool = (db: CompanyDb, companyId: string, kind: string): Promise<unknown> =>
  db.$executeRaw`SELECT pg_advisory_xact_lock(hashtextextended(${`refit-pool ${companyId} ${kind}`}, 0))`;
