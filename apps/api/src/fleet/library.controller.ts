import { doorType, doorTypeFromLibrary, doorTypeLibrary, type DoorTypeFromLibrary, type LibraryDoorType } from '@lintel/contract';
import { addDoorTypeFromLibrary, doorTypeLibrary as library } from '@lintel/store';
import { Body, Controller, Get, Inject, Post, Res } from '@nestjs/common';
import { ApiOperation, ApiResponse, ApiTags } from '@nestjs/swagger';
import type { FastifyReply } from 'fastify';
import { Allow, CallerOf, type Caller } from '../platform/access.js';
import { apiPrefix } from '../platform/options.js';
import type { Row } from '../platform/resource/definition.js';
import { setEtag } from '../platform/resource/etag.js';
import { Reader } from '../platform/resource/reader.js';
import { Writer } from '../platform/resource/writer.js';
import { doorTypes } from './types.js';

@ApiTags('fleet')
@Controller()
export class LibraryController {
  constructor(
    @Inject(Reader) private readonly reader: Reader,
    @Inject(Writer) private readonly writer: Writer,
  ) {}

  @Get('door-type-library')
  @Allow('read', 'door-type-library')
  @ApiOperation({ summary: 'Generic door types to start from', operationId: 'listDoorTypeLibrary' })
  @ApiResponse({ status: 200, standardSchema: doorTypeLibrary })
  list(): { items: readonly LibraryDoorType[] } {
    return { items: library };
  }

  @Post('door-types/from-library')
  @Allow('write', 'door-type-library')
  @ApiOperation({ summary: 'Take a door type over, with its positions and plan', operationId: 'createDoorTypeFromLibrary' })
  @ApiResponse({ status: 201, standardSchema: doorType })
  async take(
    @CallerOf() caller: Caller,
    @Body({ schema: doorTypeFromLibrary }) given: DoorTypeFromLibrary,
    @Res({ passthrough: true }) reply: FastifyReply,
  ): Promise<Row> {
    const id = await this.writer.inCompany(caller.context, async (db) => {
      const made = await addDoorTypeFromLibrary(db, caller.context, given.kind);
      if (given.name !== undefined) await db.doorType.updateMany({ where: { id: made }, data: { name: given.name } });
      return made;
    });
    const row = await this.reader.one(doorTypes, caller, id);
    reply.header('location', `/${apiPrefix}/door-types/${id}`);
    setEtag(reply, row);
    return row;
  }
}
