import { writeLedger, type CompanyContext, type CompanyDb } from '@lintel/store';
import { Refusal } from '../platform/refusal.js';

/** Stops a job, in the caller's transaction. @throws Refusal when it has ended already. */
export async function cancelRun(db: CompanyDb, context: CompanyContext, { id, job, payload }: { id: string; job: string; payload: object }): Promise<void> {
  // Not seen by the queue yet: taken back, with a run that says so.
  const unseen = await db.outbox.updateMany({ where: { id, handedAt: null, doneAt: null }, data: { doneAt: new Date() } });
  const run = { state: 'cancelled', cancelRequested: true, endedAt: new Date() } as const;
  if (unseen.count > 0) {
    await db.jobRun.upsert({
      where: { companyId_id: { companyId: context.companyId, id } },
      create: { companyId: context.companyId, id, job, payload, ...run },
      update: run,
    });
  }
  const running = await db.jobRun.updateMany({ where: { id, state: { in: ['waiting', 'running'] } }, data: { cancelRequested: true } });
  if (unseen.count + running.count === 0) throw new Refusal('conflict', 'This job has ended already.');
  await writeLedger(db, context, { action: 'job-cancelled', subjectKind: 'job', subjectId: id });
}
