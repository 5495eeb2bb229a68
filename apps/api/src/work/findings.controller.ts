import { finding, findingChange, findingCreate, type FindingChange, type FindingCreate } from '@lintel/contract';
import { Body, Controller, Headers, Inject, Param, Patch, Post, Res } from '@nestjs/common';
import { ApiHeader, ApiOperation, ApiResponse, ApiTags } from '@nestjs/swagger';
import type { FastifyReply } from 'fastify';
import { Allow, CallerOf, type Caller } from '../platform/access.js';
import { apiPrefix } from '../platform/options.js';
import type { Row } from '../platform/resource/definition.js';
import { setEtag, versionOf } from '../platform/resource/etag.js';
import { IdPipe } from '../platform/validation.js';
import { WorkService } from './orders.service.js';

@ApiTags('work')
@Controller('findings')
export class FindingsController {
  constructor(@Inject(WorkService) private readonly work: WorkService) {}

  @Post()
  @Allow('write', 'findings')
  @ApiOperation({ summary: 'Report something seen wrong on a door; unsafe takes it out of service', operationId: 'createFinding' })
  @ApiResponse({ status: 201, standardSchema: finding })
  async create(@CallerOf() caller: Caller, @Body({ schema: findingCreate }) given: FindingCreate, @Res({ passthrough: true }) reply: FastifyReply): Promise<Row> {
    const row = await this.work.addFinding(caller, given);
    reply.header('location', `/${apiPrefix}/findings/${row['id'] as string}`);
    setEtag(reply, row);
    return row;
  }

  @Patch(':id')
  @Allow('write', 'findings')
  @ApiOperation({ summary: 'Tell a finding better, or resolve it', operationId: 'changeFinding' })
  @ApiHeader({ name: 'If-Match', required: true, description: 'ETag of the finding' })
  @ApiResponse({ status: 200, standardSchema: finding })
  async change(
    @CallerOf() caller: Caller, @Param('id', IdPipe) id: string, @Headers('if-match') version: string | undefined,
    @Body({ schema: findingChange }) given: FindingChange, @Res({ passthrough: true }) reply: FastifyReply,
  ): Promise<Row> {
    const row = await this.work.changeFinding(caller, id, versionOf(version), given);
    setEtag(reply, row);
    return row;
  }
}
