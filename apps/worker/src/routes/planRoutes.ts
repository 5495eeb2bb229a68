// These messages go between threads, not between windows.
/* oxlint-disable unicorn/require-post-message-target-origin */
import { Worker } from 'node:worker_threads';
import { routeFaultText } from '@lintel/contract';
import type { RouteFaults, RouteSolution } from '@lintel/engine';
import type { QueuePayload } from '@lintel/queue';
import { solvePlan, type SolveProgress, type SolveTask } from '@lintel/store';
import { Cancelled } from '../call.js';
import type { JobCall } from '../call.js';

/** Threads run what was built, also where the rest is read from its sources (tests). */
const threadFile = new URL(import.meta.url.endsWith('.ts') ? '../../dist/routes/solveThread.js' : './solveThread.js', import.meta.url);

/** Makes a plan. The search runs in a thread of its own, so that the queue's locks and other jobs are kept up meanwhile. */
export async function planRoutesJob(call: JobCall, { planId }: QueuePayload<'plan-routes'>): Promise<void> {
  await call.book.progress(0, 100);
  const outcome = await solvePlan(call.store, call.context, planId, {
    now: new Date(),
    travelUrl: call.travelUrl,
    isCancelled: () => call.book.isCancelled(),
    solve: (task, onProgress) =>
      solveInThread(task, async (progress) => {
        await call.book.progress(Math.floor(100 * Math.min(1, progress.fraction)), 100);
        return onProgress(progress);
      }),
  });
  if (outcome === 'cancelled') throw new Cancelled();
}

type Told = SolveProgress | { done: RouteSolution | RouteFaults };

function solveInThread(task: SolveTask, onProgress: (progress: SolveProgress) => Promise<'go-on' | 'stop'>): Promise<RouteSolution> {
  return new Promise((resolve, reject) => {
    // Conditions under which sources are read do not hold for what was built.
    const thread = new Worker(threadFile, { workerData: task, execArgv: [] });
    let telling: Promise<void> = Promise.resolve();
    const fail = (error: unknown): void => {
      void thread.terminate();
      reject(error instanceof Error ? error : new Error(String(error)));
    };
    thread.on('error', fail);
    thread.on('exit', (code) => code !== 0 && fail(new Error(`the route solver ended with ${code}`)));
    thread.on('message', (told: Told) => {
      telling = telling.then(async () => {
        if ('done' in told) {
          if ('faults' in told.done) fail(new Error(told.done.faults.slice(0, 3).map((fault) => `${fault.path.join('.')} ${routeFaultText(fault)}`).join('; ')));
          else resolve(told.done);
        } else if ((await onProgress(told)) === 'stop') thread.postMessage('stop');
      });
      telling.catch(fail);
    });
  });
}
