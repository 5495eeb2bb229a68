import { askForOldRefits, doorRanges } from '@lintel/store';
import { WaitingChildrenError } from 'bullmq';
import { Cancelled } from '../call.js';
import type { JobCall } from '../call.js';
import { partOf } from './projectChunk.js';

/** Attempts at a piece, beside those at the whole. */
const CHUNK_ATTEMPTS = 3;

/**
 * Projects a company in pieces, each a job of its own below this one: asks for the pieces that are not done, lets go of its
 * place until they have ended, and is then called again to see whether any is missing still.
 */
export async function projectCompanyJob(call: JobCall): Promise<void> {
  const ranges = await doorRanges(call.store, call.context, call.chunkDoors);
  const done = await call.book.partsDone();
  const missing = ranges.filter((range) => !done.has(partOf(range)));
  const sum = (some: typeof ranges) => some.reduce((doors, range) => doors + range.doors, 0);
  await call.book.progress(sum(ranges) - sum(missing), sum(ranges));
  if (missing.length === 0) {
    // The ages that models are fitted to come from a projection.
    await call.store.withCompanySql(call.context, (client) => askForOldRefits(client, call.context, new Date()));
    return;
  }
  if (await call.book.isCancelled()) throw new Cancelled();
  const failures = Object.values(await call.job.getIgnoredChildrenFailures());
  const { runId, context } = call.book;
  const turn = `${call.job.id}/${call.job.attemptsMade}`;
  if (call.job.progress !== turn) {
    for (const { from, to } of missing) {
      await call.queue.add(
        'project-chunk',
        { companyId: context.companyId, runId, payload: { from, to } },
        { attempts: CHUNK_ATTEMPTS, parent: { id: call.job.id!, queue: call.job.queueQualifiedName } },
      );
    }
    // Written on the job itself: called again in this attempt, it knows that its pieces have been asked for.
    await call.job.updateProgress(turn);
    if (await call.job.moveToWaitingChildren(call.token)) throw new WaitingChildrenError();
    return projectCompanyJob(call);
  }
  throw new Error(`${missing.length} of ${ranges.length} pieces failed: ${failures.at(-1) ?? 'no reason given'}`);
}
