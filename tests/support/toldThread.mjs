// A thread that tells what it is given, by the number of its seed: in place of one that searches.
/* oxlint-disable unicorn/require-post-message-target-origin */
import { parentPort, workerData } from 'node:worker_threads';

const { tells, dies } = workerData.problem.threads[Math.floor(workerData.seed / 2 ** 32)];
for (const told of tells) parentPort.postMessage(told);
if (dies) setTimeout(() => process.exit(3), 50);
