import type { QueuePayload } from '@lintel/queue';
import { solvePlan } from '@lintel/store';
import { Cancelled } from '../call.js';
import type { JobCall } from '../call.js';
import { solveInThreads } from './solveInThreads.js';

/** Makes a plan. The search runs in threads of its own, so that the queue's locks and other jobs are kept up meanwhile. */
export async function planRoutesJob(call: JobCall, { planId }: QueuePayload<'plan-routes'>): Promise<void> {
  await call.book.progress(0, 100);
  const outcome = await solvePlan(call.store, call.context, planId, {
    now: new Date(),
    travelUrl: call.travelUrl,
    isCancelled: () => call.book.isCancelled(),
    solve: (task, onProgress) =>
      solveInThreads(task, call.routeThreads, async (progress) => {
        await call.book.progress(Math.floor(100 * Math.min(1, progress.fraction)), 100);
        return onProgress(progress);
      }),
  });
  if (outcome === 'cancelled') throw new Cancelled();
}
