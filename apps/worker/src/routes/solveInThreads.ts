// These messages go between threads, not between windows.
/* oxlint-disable unicorn/require-post-message-target-origin */
import { Worker } from 'node:worker_threads';
import { routeFaultText } from '@lintel/contract';
import type { RouteFaults, RouteSolution } from '@lintel/engine';
import type { SolveProgress, SolveTask } from '@lintel/store';

/** Threads run what was built, also where the rest is read from its sources (tests). */
const threadFile = new URL(import.meta.url.endsWith('.ts') ? '../../dist/routes/solveThread.js' : './solveThread.js', import.meta.url);
/** Streams of seeds that differ by this are apart. */
const SEED_STEP = 2 ** 32;

type Told = SolveProgress | { done: RouteSolution | RouteFaults };

/**
 * Searches `threads` times beside each other, each with a seed of its own and the whole time, and takes the cheapest plan: one search
 * differs from the next by half a per cent and more. `onProgress` is told by the first thread's clock: of the cheapest plan
 * so far, the iterations of all, and the part of the time that the slowest has behind it. Every visit must have a price for being
 * left out, or plans could not be told apart by cost. `file` is what a thread runs.
 * @throws Error where a thread dies, or no thread finds a plan that keeps what is fixed.
 */
export function solveInThreads(task: SolveTask, threads: number, onProgress: (progress: SolveProgress) => Promise<'go-on' | 'stop'>, file = threadFile): Promise<RouteSolution> {
  return new Promise((resolve, reject) => {
    const latest: (SolveProgress | undefined)[] = Array.from({ length: threads });
    const plans: RouteSolution[] = [];
    const faulty: RouteFaults[] = [];
    // Conditions under which sources are read do not hold for what was built.
    const workers = latest.map((_, index) => new Worker(file, { workerData: { ...task, seed: task.seed + index * SEED_STEP }, execArgv: [] }));
    let telling: Promise<void> = Promise.resolve();
    const fail = (error: unknown): void => {
      for (const worker of workers) void worker.terminate();
      reject(error instanceof Error ? error : new Error(String(error)));
    };
    const hear = async (told: Told, index: number): Promise<void> => {
      if ('done' in told) {
        if ('faults' in told.done) faulty.push(told.done);
        else plans.push(told.done);
        if (plans.length + faulty.length < threads) return;
        const plan = cheapest(plans);
        if (plan) resolve({ ...plan, iterations: iterationsOf(plans) });
        else fail(new Error(faultsText(faulty[0]!)));
        return;
      }
      latest[index] = told;
      if (index === 0 && (await onProgress(together(latest))) === 'stop') for (const worker of workers) worker.postMessage('stop');
    };
    workers.forEach((worker, index) => {
      worker.on('error', fail);
      worker.on('exit', (code) => code !== 0 && fail(new Error(`the route solver ended with ${code}`)));
      worker.on('message', (told: Told) => {
        telling = telling.then(() => hear(told, index));
        telling.catch(fail);
      });
    });
  });
}

/** What the threads have told so far; those not heard of yet count for nothing. */
export function together(latest: readonly (SolveProgress | undefined)[]): SolveProgress {
  const heard = latest.filter((one) => one !== undefined);
  return {
    fraction: Math.min(...heard.map(({ fraction }) => fraction)),
    iterations: iterationsOf(heard),
    best: cheapest(heard.map(({ best }) => best))!,
  };
}

function cheapest(plans: readonly RouteSolution[]): RouteSolution | undefined {
  return plans.reduce<RouteSolution | undefined>((best, plan) => (best === undefined || plan.cost < best.cost ? plan : best), undefined);
}

function iterationsOf(searches: readonly { iterations: number }[]): number {
  return searches.reduce((sum, { iterations }) => sum + iterations, 0);
}

function faultsText({ faults }: RouteFaults): string {
  return faults.slice(0, 3).map((fault) => `${fault.path.join('.')} ${routeFaultText(fault)}`).join('; ');
}
