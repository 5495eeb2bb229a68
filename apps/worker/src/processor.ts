import { BadJob, RunBook } from '@lintel/queue';
import type { JobQueue, JobRegistry, QueueJob } from '@lintel/queue';
import type { CompanyContext, Store } from '@lintel/store';
import { UnrecoverableError, WaitingChildrenError } from 'bullmq';
import { z } from 'zod';
import { Cancelled } from './call.js';
import type { JobCall, Log } from './call.js';

const envelope = z.object({ companyId: z.uuid(), runId: z.uuid(), payload: z.unknown() });

export interface ProcessorOptions {
  store: Store;
  queue: JobQueue;
  registry: JobRegistry<JobCall>;
  chunkDoors: number;
  travelUrl: string | null;
  routeThreads: number;
  log: Log;
}

/** Runs one job of the queue: takes up its run, lets its handler work, and writes down what became of it. */
export function makeProcessor({ store, queue, registry, chunkDoors, travelUrl, routeThreads, log }: ProcessorOptions) {
  return async (job: QueueJob, token = ''): Promise<void> => {
    const { companyId, runId, payload } = envelopeOf(job);
    const context: CompanyContext = { companyId, accountId: null, actor: 'worker', ownerId: null };
    const book = new RunBook(store, context, runId);
    const call = { store, context, book, queue, job, token, chunkDoors, travelUrl, routeThreads, log };
    const fields = { job: job.name, runId, companyId, attempt: job.attemptsMade + 1 };
    if (job.parent !== undefined) {
      await registry.run(job.name, call, payload).catch((error: unknown) => {
        log.warn({ ...fields, err: error }, 'a piece of a job failed');
        throw unrecoverableIfBad(error);
      });
      return;
    }
    const begun = await book.begin(job.attemptsMade + 1);
    if (begun.over) return;
    try {
      if (job.name !== 'import-file' && (await book.isCancelled())) throw new Cancelled();
      await registry.run(job.name, call, payload);
      await book.end('done', await book.note(), begun.standsFor);
      log.info(fields, 'job done');
    } catch (error) {
      await failed(error, job, book, { ...fields, log });
    }
  };
}

function envelopeOf(job: QueueJob): z.infer<typeof envelope> {
  const parsed = envelope.safeParse(job.data);
  if (!parsed.success) throw new UnrecoverableError(`job ${job.name}: ${parsed.error.issues[0]?.path.join('.')} is not valid`);
  return parsed.data;
}

const unrecoverableIfBad = (error: unknown): unknown => (error instanceof BadJob ? new UnrecoverableError(error.message) : error);

async function failed(error: unknown, job: QueueJob, book: RunBook, { log, ...fields }: { log: Log }): Promise<void> {
  if (error instanceof WaitingChildrenError) throw error;
  if (error instanceof Cancelled) {
    await book.end('cancelled', null);
    log.info(fields, 'job cancelled');
    return;
  }
  const reason = reasonOf(error);
  const last = error instanceof BadJob || error instanceof UnrecoverableError || job.attemptsMade + 1 >= (job.opts.attempts ?? 1);
  log.warn({ ...fields, err: error, last }, 'job failed');
  if (last) await book.end('failed', reason);
  else await book.retryLater(reason);
  throw unrecoverableIfBad(error);
}

/** One sentence for people; the log has the rest. */
export function reasonOf(error: unknown): string {
  const text = error instanceof Error ? error.message : String(error);
  return text.slice(0, 1000) || 'failed without a reason';
}
