import { listQuery, page, type ListRequest, type Page } from '@lintel/contract';
import { Body, Controller, Delete, Get, Headers, HttpCode, Inject, Param, Patch, Post, Query, Res, type Type } from '@nestjs/common';
import { ApiHeader, ApiOperation, ApiResponse, ApiTags } from '@nestjs/swagger';
import type { FastifyReply } from 'fastify';
import { Allow, CallerOf, type Caller } from '../access.js';
import { apiPrefix } from '../options.js';
import { IdPipe } from '../validation.js';
import type { ArchiveDefinition, ChangeDefinition, CreateDefinition, ReadDefinition, Row, WriteDefinition } from './definition.js';
import { setEtag, versionOf } from './etag.js';
import { Reader } from './reader.js';
import { Writer } from './writer.js';

/** The controllers of a plain resource: whatever its definition allows. */
export function resource(definition: WriteDefinition): Type[] {
  const { create, change, archive } = definition;
  return [
    listRoute(definition),
    oneRoute(definition),
    ...(create ? [createRoute({ ...definition, create })] : []),
    ...(change ? [changeRoute({ ...definition, change })] : []),
    ...(archive ? [archiveRoute({ ...definition, archive })] : []),
  ];
}

export const operation = (verb: string, { path }: { path: string }): string =>
  verb + path.split('-').map((part) => part[0]!.toUpperCase() + part.slice(1)).join('');

export function listRoute(definition: ReadDefinition): Type {
  @ApiTags(definition.room)
  @Controller(definition.path)
  class ListController {
    constructor(@Inject(Reader) private readonly reader: Reader) {}

    @Get()
    @Allow('read', definition.resource)
    @ApiOperation({ summary: `List ${definition.path}`, operationId: operation('list', definition) })
    @ApiResponse({ status: 200, standardSchema: page(definition.record) })
    list(@CallerOf() caller: Caller, @Query({ schema: listQuery(definition.list) }) request: ListRequest): Promise<Page<Row>> {
      return this.reader.list(definition, caller, request);
    }
  }
  return ListController;
}

export function oneRoute(definition: ReadDefinition): Type {
  @ApiTags(definition.room)
  @Controller(definition.path)
  class OneController {
    constructor(@Inject(Reader) private readonly reader: Reader) {}

    @Get(':id')
    @Allow('read', definition.resource)
    @ApiOperation({ summary: `One of ${definition.path}`, operationId: operation('get', definition) })
    @ApiResponse({ status: 200, standardSchema: definition.record })
    async one(
      @CallerOf() caller: Caller,
      @Param('id', IdPipe) id: string,
      @Res({ passthrough: true }) reply: FastifyReply,
    ): Promise<Row> {
      const row = await this.reader.one(definition, caller, id);
      setEtag(reply, row);
      return row;
    }
  }
  return OneController;
}

function createRoute(definition: WriteDefinition & { create: CreateDefinition }): Type {
  @ApiTags(definition.room)
  @Controller(definition.path)
  class CreateController {
    constructor(@Inject(Writer) private readonly writer: Writer) {}

    @Post()
    @Allow('write', definition.resource)
    @ApiOperation({ summary: `Add to ${definition.path}`, operationId: operation('create', definition) })
    @ApiResponse({ status: 201, standardSchema: definition.record })
    async create(
      @CallerOf() caller: Caller,
      @Body({ schema: definition.create.schema }) given: Row,
      @Res({ passthrough: true }) reply: FastifyReply,
    ): Promise<Row> {
      const row = await this.writer.create(definition, caller, given);
      reply.header('location', `/${apiPrefix}/${definition.path}/${row['id'] as string}`);
      setEtag(reply, row);
      return row;
    }
  }
  return CreateController;
}

function changeRoute(definition: WriteDefinition & { change: ChangeDefinition }): Type {
  @ApiTags(definition.room)
  @Controller(definition.path)
  class ChangeController {
    constructor(@Inject(Writer) private readonly writer: Writer) {}

    @Patch(':id')
    @Allow('write', definition.resource)
    @ApiOperation({ summary: `Change one of ${definition.path}`, operationId: operation('change', definition) })
    @ApiHeader({ name: 'If-Match', required: true, description: 'ETag of the row that the change was made over' })
    @ApiResponse({ status: 200, standardSchema: definition.record })
    async change(
      @CallerOf() caller: Caller,
      @Param('id', IdPipe) id: string,
      @Headers('if-match') ifMatch: string | undefined,
      @Body({ schema: definition.change.schema }) given: Row,
      @Res({ passthrough: true }) reply: FastifyReply,
    ): Promise<Row> {
      const row = await this.writer.change(definition, caller, id, versionOf(ifMatch), given);
      setEtag(reply, row);
      return row;
    }
  }
  return ChangeController;
}

function archiveRoute(definition: WriteDefinition & { archive: ArchiveDefinition }): Type {
  @ApiTags(definition.room)
  @Controller(definition.path)
  class ArchiveController {
    constructor(@Inject(Writer) private readonly writer: Writer) {}

    @Delete(':id')
    @HttpCode(204)
    @Allow('write', definition.resource)
    @ApiOperation({
      summary: `Archive one of ${definition.path}; its history stays`,
      operationId: operation('archive', definition),
    })
    @ApiHeader({ name: 'If-Match', required: true, description: 'ETag of the row' })
    @ApiResponse({ status: 204 })
    archive(
      @CallerOf() caller: Caller,
      @Param('id', IdPipe) id: string,
      @Headers('if-match') ifMatch: string | undefined,
    ): Promise<void> {
      return this.writer.archive(definition, caller, id, versionOf(ifMatch));
    }
  }
  return ArchiveController;
}
