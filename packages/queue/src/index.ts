export { JobQueue, isQueueLost, prepareQueueSchema } from './connection.js';
export type { Envelope, QueueConnection, QueueJob, WorkerSettings } from './connection.js';
export { BadJob, JobRegistry, queueJobs } from './registry.js';
export type { JobHandler, QueueJobName, QueuePayload } from './registry.js';
export { Relay } from './relay.js';
export type { RelayOptions } from './relay.js';
export { RunBook } from './runs.js';
export type { BegunRun } from './runs.js';
export { Schedule } from './schedule.js';
