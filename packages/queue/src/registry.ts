import { jobPayloads } from '@lintel/contract';
import { z } from 'zod';

/** Everything the queue runs: what people and the clock ask for, and the pieces that one of those is cut into. */
export const queueJobs = {
  ...jobPayloads,
  /** Doors from one id to another, both included: a piece of project-company. */
  'project-chunk': z.strictObject({ from: z.uuid(), to: z.uuid() }),
} as const satisfies Record<string, z.ZodType>;

export type QueueJobName = keyof typeof queueJobs;
export type QueuePayload<Name extends QueueJobName> = z.infer<(typeof queueJobs)[Name]>;

/** What a handler returns is of no interest; what it throws is the reason of failure. */
export type JobHandler<Call, Name extends QueueJobName> = (call: Call, payload: QueuePayload<Name>) => Promise<void>;

interface Registered<Call> {
  schema: z.ZodType;
  handle: (call: Call, payload: never) => Promise<void>;
}

/** Each job name with its one schema and its one handler. */
export class JobRegistry<Call> {
  private readonly jobs = new Map<string, Registered<Call>>();

  /** @throws Error if the name is not known or has a handler already. */
  handle<Name extends QueueJobName>(name: Name, handler: JobHandler<Call, Name>): this {
    const schema: z.ZodType | undefined = queueJobs[name];
    if (schema === undefined) throw new Error(`job ${name} has no payload schema`);
    if (this.jobs.has(name)) throw new Error(`job ${name} has two handlers`);
    this.jobs.set(name, { schema, handle: handler });
    return this;
  }

  /** To be called before the start. @throws Error naming the jobs that nothing handles. */
  complete(): this {
    const missing = Object.keys(queueJobs).filter((name) => !this.jobs.has(name));
    if (missing.length > 0) throw new Error(`no handler for job ${missing.join(', ')}`);
    return this;
  }

  /** Runs a job. @throws BadJob if the name is not known or the payload is not what its schema asks for. */
  run(name: string, call: Call, payload: unknown): Promise<void> {
    const job = this.jobs.get(name);
    if (job === undefined) throw new BadJob(`there is no job ${JSON.stringify(name)}`);
    const parsed = job.schema.safeParse(payload);
    if (!parsed.success) {
      const [issue] = parsed.error.issues;
      const field = issue === undefined || issue.path.length === 0 ? 'payload' : issue.path.join('.');
      throw new BadJob(`job ${name}: ${field}: ${issue?.message ?? 'not valid'}`);
    }
    return job.handle(call, parsed.data as never);
  }
}

/** A job that no further attempt can mend. */
export class BadJob extends Error {
  override readonly name = 'BadJob';
}
