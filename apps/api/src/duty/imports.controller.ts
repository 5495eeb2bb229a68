import {
  fileImport, importRefusal, importStart, importUpload, listQuery, page,
  type ImportStart, type ImportUpload, type ListRequest, type Page,
} from '@lintel/contract';
import { Body, Controller, Get, HttpCode, Inject, Param, Post, Query, Req, Res } from '@nestjs/common';
import { ApiBody, ApiConsumes, ApiOperation, ApiResponse, ApiTags } from '@nestjs/swagger';
import type { FastifyReply, FastifyRequest } from 'fastify';
import { Allow, CallerOf, type Caller } from '../platform/access.js';
import { apiPrefix } from '../platform/options.js';
import type { Row } from '../platform/resource/definition.js';
import { setEtag } from '../platform/resource/etag.js';
import { Reader } from '../platform/resource/reader.js';
import { IdPipe } from '../platform/validation.js';
import { refusals } from './imports.js';
import { ImportsService } from './imports.service.js';

@ApiTags('duty')
@Controller('imports')
export class ImportsController {
  constructor(
    @Inject(ImportsService) private readonly files: ImportsService,
    @Inject(Reader) private readonly reader: Reader,
  ) {}

  @Post()
  @Allow('write', 'imports')
  @ApiConsumes('text/csv')
  @ApiBody({ schema: { type: 'string', format: 'binary' } })
  @ApiOperation({ summary: 'Upload a file; it is brought in once its mapping is confirmed', operationId: 'createImport' })
  @ApiResponse({ status: 201, standardSchema: fileImport })
  async upload(
    @CallerOf() caller: Caller,
    @Query({ schema: importUpload }) given: ImportUpload,
    @Req() request: FastifyRequest,
    @Res({ passthrough: true }) reply: FastifyReply,
  ): Promise<Row> {
    const row = await this.files.upload(caller, given, request.body);
    reply.header('location', `/${apiPrefix}/imports/${row['id'] as string}`);
    setEtag(reply, row);
    return row;
  }

  @Post(':id/start')
  @HttpCode(202)
  @Allow('write', 'imports')
  @ApiOperation({ summary: 'Bring an uploaded file in', operationId: 'startImport' })
  @ApiResponse({ status: 202, standardSchema: fileImport })
  start(
    @CallerOf() caller: Caller,
    @Param('id', IdPipe) id: string,
    @Body({ schema: importStart }) { mapping }: ImportStart,
  ): Promise<Row> {
    return this.files.start(caller, id, mapping);
  }

  @Post(':id/cancel')
  @HttpCode(202)
  @Allow('write', 'imports')
  @ApiOperation({ summary: 'Stop bringing a file in; what was brought in stays', operationId: 'cancelImport' })
  @ApiResponse({ status: 202, standardSchema: fileImport })
  cancel(@CallerOf() caller: Caller, @Param('id', IdPipe) id: string): Promise<Row> {
    return this.files.cancel(caller, id);
  }

  @Get(':id/refusals')
  @Allow('read', 'imports')
  @ApiOperation({ summary: 'Refused lines of a file, and why', operationId: 'listImportRefusals' })
  @ApiResponse({ status: 200, standardSchema: page(importRefusal) })
  async refused(
    @CallerOf() caller: Caller,
    @Param('id', IdPipe) id: string,
    @Query({ schema: listQuery(refusals.list) }) request: ListRequest,
  ): Promise<Page<Row>> {
    await this.files.one(caller, id);
    return this.reader.list(refusals, caller, request, { importId: id });
  }
}
