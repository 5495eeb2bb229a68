import type { JobQueue, QueueJob, RunBook } from '@lintel/queue';
import type { CompanyContext, Store } from '@lintel/store';

/** Told in lines of fields and a message; pino fits. */
export interface Log {
  info(fields: object, message: string): void;
  warn(fields: object, message: string): void;
  error(fields: object, message: string): void;
}

/** What a handler works with. */
export interface JobCall {
  store: Store;
  context: CompanyContext;
  book: RunBook;
  queue: JobQueue;
  job: QueueJob;
  /** The right to this job at the queue. */
  token: string;
  /** Doors to a piece of a company's projection. */
  chunkDoors: number;
  /** Address of a routing server; null: travel that nobody gave is estimated. */
  travelUrl: string | null;
  /** Searches beside each other for a plan of routes. */
  routeThreads: number;
  log: Log;
}

/** People asked for the run to stop, and it did. */
export class Cancelled extends Error {
  override readonly name = 'Cancelled';
}
