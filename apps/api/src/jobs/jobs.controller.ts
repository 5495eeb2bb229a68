import { job, jobAsked, jobList, type JobAsked } from '@lintel/contract';
import { enqueue, writeLedger } from '@lintel/store';
import { Controller, HttpCode, Inject, Param, Post, Res } from '@nestjs/common';
import { ApiOperation, ApiResponse, ApiTags } from '@nestjs/swagger';
import type { FastifyReply } from 'fastify';
import { Allow, CallerOf, type Caller } from '../platform/access.js';
import { apiPrefix } from '../platform/options.js';
import type { ReadDefinition, Row } from '../platform/resource/definition.js';
import { Reader } from '../platform/resource/reader.js';
import { Writer } from '../platform/resource/writer.js';
import { Refusal } from '../platform/refusal.js';
import { IdPipe } from '../platform/validation.js';
import { cancelRun } from './cancelRun.js';

export const jobs: ReadDefinition = {
  path: 'jobs', room: 'jobs', resource: 'jobs', subject: 'job', view: 'job_list', record: job, list: jobList, search: [],
};

@ApiTags('jobs')
@Controller()
export class JobsController {
  constructor(
    @Inject(Reader) private readonly reader: Reader,
    @Inject(Writer) private readonly writer: Writer,
  ) {}

  @Post('projections')
  @HttpCode(202)
  @Allow('write', 'projections')
  @ApiOperation({ summary: 'Project the whole company anew', operationId: 'createProjection' })
  @ApiResponse({ status: 202, standardSchema: jobAsked })
  async project(@CallerOf() { context }: Caller, @Res({ passthrough: true }) reply: FastifyReply): Promise<JobAsked> {
    const jobId = await this.writer.inCompany(context, (db) => enqueue(db, context, 'project-company', {}));
    reply.header('location', `/${apiPrefix}/jobs/${jobId}`);
    return { jobId };
  }

  /** The request is put back before the relay, which hands it to the queue again. */
  @Post('jobs/:id/retry')
  @HttpCode(202)
  @Allow('write', 'jobs')
  @ApiOperation({ summary: 'Run a failed job again', operationId: 'retryJob' })
  @ApiResponse({ status: 202, standardSchema: job })
  async retry(@CallerOf() caller: Caller, @Param('id', IdPipe) id: string): Promise<Row> {
    await this.reader.one(jobs, caller, id);
    await this.writer.inCompany(caller.context, async (db) => {
      const failed = await db.jobRun.updateMany({
        where: { id, state: { in: ['failed', 'cancelled'] } },
        data: { state: 'waiting', error: null, cancelRequested: false, startedAt: null, endedAt: null },
      });
      if (failed.count === 0) throw new Refusal('conflict', 'Only a job that failed or was cancelled can be run again.');
      const asked = await db.outbox.updateMany({ where: { id }, data: { handedAt: null, doneAt: null, hands: 0, notBefore: new Date() } });
      if (asked.count === 0) throw new Refusal('conflict', 'What this job was asked with is no longer kept.');
      await writeLedger(db, caller.context, { action: 'job-retried', subjectKind: 'job', subjectId: id });
    });
    return this.reader.one(jobs, caller, id);
  }

  @Post('jobs/:id/cancel')
  @HttpCode(202)
  @Allow('write', 'jobs')
  @ApiOperation({ summary: 'Stop a job', operationId: 'cancelJob' })
  @ApiResponse({ status: 202, standardSchema: job })
  async cancel(@CallerOf() caller: Caller, @Param('id', IdPipe) id: string): Promise<Row> {
    const current = await this.reader.one(jobs, caller, id);
    const run = { id, job: current['job'] as string, payload: current['payload'] as object };
    await this.writer.inCompany(caller.context, (db) => cancelRun(db, caller.context, run));
    return this.reader.one(jobs, caller, id);
  }
}
