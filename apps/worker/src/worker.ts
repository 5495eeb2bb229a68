import { availableParallelism } from 'node:os';
import { isQueueLost, JobQueue, prepareQueueSchema, Relay, RunBook, Schedule } from '@lintel/queue';
import type { QueueJob, WorkerSettings } from '@lintel/queue';
import { Store } from '@lintel/store';
import type { Log } from './call.js';
import { registerJobs } from './jobs.js';
import { makeProcessor, reasonOf } from './processor.js';

export interface WorkerOptions {
  /** PostgreSQL as the application: all work on data. */
  appUrl: string;
  /** PostgreSQL as the relay: outbox, schedule, and the queue unless Redis is given. */
  relayUrl: string;
  redisUrl?: string | undefined;
  redisPrefix?: string | undefined;
  /** Jobs at once. */
  concurrency: number;
  log: Log;
  /** For tests and unusual machines; the defaults suit the rest. */
  timing?: Partial<WorkerTiming>;
  /** Doors to a piece of a company's projection. */
  chunkDoors?: number;
  /** Address of a routing server with the common table service; left out: travel that nobody gave is estimated. */
  travelUrl?: string | undefined;
  /** Searches beside each other for a plan of routes; left out: as many as there are processors, at most four. */
  routeThreads?: number | undefined;
  /** False: nothing is asked for by the clock. */
  schedule?: boolean;
}

export interface WorkerTiming {
  /** Between two looks at the outbox. */
  pollMs: number;
  /** Between two looks at the clock. */
  scheduleMs: number;
  /** A request that has not ended by then is handed to the queue again. */
  handAgainSeconds: number;
  /** A job whose worker has not been heard of for so long is given to another. */
  lockMs: number;
  /** How long a closing worker waits for its jobs; those that go on are done again at the next start. */
  closeMs: number;
}

export interface RunningWorker {
  close(): Promise<void>;
}

const DEFAULT_TIMING: WorkerTiming = { pollMs: 500, scheduleMs: 30_000, handAgainSeconds: 120, lockMs: 20_000, closeMs: 15_000 };
const CHUNK_DOORS = 500;
/** With more searches beside each other the cheapest plan falls ever less. */
const MOST_ROUTE_THREADS = 4;
/** A job whose worker died with it more often than this is given up. */
const MOST_STALLS = 3;
/** A request that is due and was not handed over for so long is worth an alarm; how often that is looked at. */
const LATE_SECONDS = 60;
const WATCH_MS = 60_000;
/** The same trouble at the queue is not told more often than this, milliseconds. */
const QUIET_MS = 5_000;

/** Starts the relay, the schedule and the worker in this process. */
export async function startWorker(options: WorkerOptions): Promise<RunningWorker> {
  const { appUrl, relayUrl, redisUrl, redisPrefix, concurrency, log } = options;
  const timing = { ...DEFAULT_TIMING, ...options.timing };
  const registry = registerJobs();
  // A projection has two chunks in hand at once, and every job looks to its run beside.
  const store = Store.open({ appUrl, poolSize: 2 + 3 * concurrency });
  const mend = async (): Promise<void> => (redisUrl === undefined ? prepareQueueSchema(relayUrl) : undefined);
  const queue = await JobQueue.open({ relayUrl, redisUrl, redisPrefix }, troubleAtQueue(log, mend));
  const settings: WorkerSettings = {
    concurrency,
    lockDuration: timing.lockMs,
    stalledInterval: Math.ceil(timing.lockMs / 2),
    maxStalledCount: MOST_STALLS,
  };
  const { chunkDoors = CHUNK_DOORS, travelUrl = null, routeThreads = Math.min(MOST_ROUTE_THREADS, availableParallelism()) } = options;
  const processor = makeProcessor({ store, queue, registry, chunkDoors, travelUrl, routeThreads, log });
  const worker = queue.work(processor, settings);
  worker.on('failed', (job, error) => void noteStalled(store, job, error, log));
  const relay = new Relay({
    relayUrl,
    queue,
    pollMs: timing.pollMs,
    handAgainSeconds: timing.handAgainSeconds,
    onError: (error) => log.error({ err: error }, 'the outbox could not be handed over'),
  });
  relay.start();
  const watch = watchOutbox(relay, log);
  const clock = options.schedule === false ? null : startClock(relayUrl, timing.scheduleMs, log);
  log.info({ concurrency, queue: redisUrl === undefined ? 'postgresql' : 'redis' }, 'worker started');
  return {
    async close() {
      clearInterval(watch);
      await clock?.close();
      await relay.close();
      await within(worker.close(), timing.closeMs).catch(async () => worker.close(true));
      await queue.close();
      await store.close();
      log.info({}, 'worker stopped');
    },
  };
}

/** Tells of trouble at the queue, not of each of its echoes, and mends the one kind that does not mend itself: a lost schema. */
function troubleAtQueue(log: Log, mend: () => Promise<void>): (error: Error) => void {
  let toldAt = 0;
  let mending = false;
  return (error) => {
    if (Date.now() - toldAt > QUIET_MS) {
      toldAt = Date.now();
      log.error({ err: error }, 'trouble at the queue');
    }
    if (!isQueueLost(error) || mending) return;
    mending = true;
    mend()
      .catch((failure: unknown) => log.error({ err: failure }, 'the queue could not be made anew'))
      .finally(() => {
        mending = false;
      });
  };
}

/** A job that took its worker down with it too often ends without its processor: its run is ended here. */
async function noteStalled(store: Store, job: QueueJob | undefined, error: Error, log: Log): Promise<void> {
  if (job === undefined || job.parent !== undefined || !/stalled more than/.test(error.message)) return;
  const { companyId, runId } = job.data;
  const book = new RunBook(store, { companyId, accountId: null, actor: 'worker', ownerId: null }, runId);
  await book.end('failed', `its worker stopped ${MOST_STALLS + 1} times (${reasonOf(error)})`).catch((failure: unknown) => {
    log.error({ err: failure, runId }, 'the end of a job could not be written');
  });
}

/** Says so when requests lie about: the relay, or all of them, are not keeping up. */
function watchOutbox(relay: Relay, log: Log): NodeJS.Timeout {
  return setInterval(() => {
    relay.oldestWaitingSeconds().then(
      (seconds) => {
        if (seconds > LATE_SECONDS) log.error({ seconds: Math.round(seconds) }, 'requests are not handed over');
      },
      (error: unknown) => log.error({ err: error }, 'the outbox could not be looked at'),
    );
  }, WATCH_MS);
}

function startClock(relayUrl: string, everyMs: number, log: Log): { close(): Promise<void> } {
  const onError = (error: unknown) => log.error({ err: error }, 'trouble with the schedule');
  const schedule = new Schedule(relayUrl, onError);
  let turn = Promise.resolve();
  const look = () => {
    turn = turn.then(() => schedule.look(new Date())).then(() => undefined, onError);
  };
  look();
  const timer = setInterval(look, everyMs);
  return {
    async close() {
      clearInterval(timer);
      await turn;
      await schedule.close();
    },
  };
}

async function within(work: Promise<void>, limitMs: number): Promise<void> {
  let timer: NodeJS.Timeout | undefined;
  const late = new Promise<never>((_, reject) => {
    timer = setTimeout(() => reject(new Error('too late')), limitMs);
  });
  await Promise.race([work, late]).finally(() => clearTimeout(timer));
}
