import { z } from 'zod';
import { partKind } from '../fleet/partKinds.js';
import { id, instant } from '../shared/fields.js';
import type { ListWords } from '../shared/list.js';

export const jobNames = ['project-company', 'project-door', 'import-file', 'sweep-inspections', 'refit-pool', 'check-ledger', 'plan-routes'] as const;
export const jobName = z.enum(jobNames);
export type JobName = z.infer<typeof jobName>;

/** What each job is asked with; the queue checks it again before it runs one. */
export const jobPayloads = {
  'project-company': z.strictObject({}),
  'project-door': z.strictObject({ doorId: id }),
  'import-file': z.strictObject({ importId: id }),
  'sweep-inspections': z.strictObject({ siteId: id, on: z.iso.date() }),
  /** The wear models of one kind of part. */
  'refit-pool': z.strictObject({ kind: partKind }),
  /** The company's chain of ledger entries, from the first to the last. */
  'check-ledger': z.strictObject({}),
  /** The routes of a plan, which says what is wanted. */
  'plan-routes': z.strictObject({ planId: id }),
} as const satisfies Record<JobName, z.ZodType>;

export const runState = z.enum(['waiting', 'running', 'done', 'failed', 'cancelled']);
export type RunState = z.infer<typeof runState>;

export const job = z.object({
  id,
  job: z.string(),
  payload: z.record(z.string(), z.unknown()),
  state: runState,
  done: z.int(),
  total: z.int(),
  attempts: z.int(),
  error: z.string().nullable(),
  cancelRequested: z.boolean(),
  createdAt: instant,
  startedAt: instant.nullable(),
  endedAt: instant.nullable(),
}).meta({ id: 'Job' });
export type Job = z.infer<typeof job>;

export const jobList: ListWords = {
  filters: { id, job: z.string().max(60), state: runState },
  ranges: { createdAt: 'instant' },
  sorts: ['createdAt', 'startedAt', 'endedAt', 'job', 'state'],
  defaultSort: '-createdAt',
  search: false,
};

/** A job was asked for; watch it at /jobs/<jobId>. */
export const jobAsked = z.object({ jobId: id }).meta({ id: 'JobAsked' });
export type JobAsked = z.infer<typeof jobAsked>;
