// These messages go between threads, not between windows.
/* oxlint-disable unicorn/require-post-message-target-origin */
import { setImmediate as nextTurn } from 'node:timers/promises';
import { parentPort, workerData } from 'node:worker_threads';
import { routeSlices } from '@lintel/engine';
import type { SolveTask } from '@lintel/store';

/** How often the thread tells of its best plan, milliseconds. */
const TELL_MS = 1_500;

const { problem, start, seed, seconds } = workerData as SolveTask;
let stopped = false;
parentPort!.on('message', () => {
  stopped = true;
});

const slices = routeSlices(problem, { seed, start, budget: { seconds, nowMs: () => performance.now() } });
let toldAt = performance.now();
for (;;) {
  const slice = slices.next();
  if (slice.done) {
    parentPort!.postMessage({ done: slice.value });
    break;
  }
  const { fraction, iterations, best } = slice.value;
  if (stopped) {
    parentPort!.postMessage({ done: best() });
    break;
  }
  if (performance.now() - toldAt >= TELL_MS) {
    toldAt = performance.now();
    parentPort!.postMessage({ fraction, iterations, best: best() });
  }
  // Between two slices messages are heard.
  await nextTurn();
}
parentPort!.close();
