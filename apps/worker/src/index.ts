export { startWorker } from './worker.js';
export type { RunningWorker, WorkerOptions } from './worker.js';
export type { Log } from './call.js';
