import { fork } from 'node:child_process';
import { once } from 'node:events';
import { fileURLToPath } from 'node:url';
import { doorRanges } from '@lintel/store';
import { seconds } from './database.mjs';
import { boundTimes } from './projection.mjs';

const TURNS = 3;
const DAY_MS = 86_400_000;
/** Doors of one job, as the worker cuts a company. */
const CHUNK_DOORS = 1000;
const child = fileURLToPath(new URL('./projectChild.mjs', import.meta.url));

/**
 * Re-projection of a whole company in pieces, as the worker's jobs do it, by one process and by two that take pieces in turn; over
 * the bound of `benchProjection`. The best turn of each counts. Queue and start of the processes are left out.
 */
export async function benchProcesses({ store, owner, companyId, context, appUrl }) {
  const ranges = await doorRanges(store, context, CHUNK_DOORS);
  const workers = await Promise.all([openWorker(appUrl), openWorker(appUrl)]);
  try {
    let day = 0;
    const project = (some) => seconds(() => projectAll(some, ranges, { context, now: Date.now() + ++day * DAY_MS }));
    await project(workers);
    await owner.query('VACUUM ANALYZE');
    const best = { one: Infinity, two: Infinity, bound: Infinity };
    for (let turn = 0; turn < TURNS; turn++) {
      best.one = Math.min(best.one, await project(workers.slice(0, 1)));
      best.two = Math.min(best.two, await project(workers));
      best.bound = Math.min(best.bound, (await boundTimes(owner, companyId)).bound);
    }
    return best;
  } finally {
    for (const worker of workers) worker.disconnect();
  }
}

async function openWorker(appUrl) {
  const worker = fork(child, [appUrl]);
  await once(worker, 'message');
  return worker;
}

/** Each process takes the next piece when it has done one. */
async function projectAll(workers, ranges, { context, now }) {
  const waiting = [...ranges];
  await Promise.all(workers.map(async (worker) => {
    for (let range = waiting.shift(); range !== undefined; range = waiting.shift()) {
      const answered = once(worker, 'message');
      worker.send({ context, range, now });
      const [{ projected, failed }] = await answered;
      if (failed > 0 || projected === 0) throw new Error(`projected ${projected}, failed ${failed}`);
    }
  }));
}
