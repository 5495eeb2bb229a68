import {
  counter, counterRemove, door, doorDecommission, doorSetState, fittedPart, fittedPartRemove,
  type CounterRemove, type DoorDecommission, type DoorSetState, type FittedPartRemove,
} from '@lintel/contract';
import { Body, Controller, Headers, HttpCode, Inject, Param, Post, Res } from '@nestjs/common';
import { ApiHeader, ApiOperation, ApiResponse, ApiTags } from '@nestjs/swagger';
import type { FastifyReply } from 'fastify';
import { Allow, CallerOf, type Caller } from '../platform/access.js';
import type { Row } from '../platform/resource/definition.js';
import { setEtag, versionIfGiven } from '../platform/resource/etag.js';
import { IdPipe } from '../platform/validation.js';
import { FleetVerbs } from './verbs.service.js';

const ifMatchHeader = { name: 'If-Match', required: false, description: 'ETag of the row; honoured where given' };

@ApiTags('fleet')
@Controller()
export class FleetVerbsController {
  constructor(@Inject(FleetVerbs) private readonly verbs: FleetVerbs) {}

  @Post('doors/:id/state')
  @HttpCode(200)
  @Allow('write', 'door-state')
  @ApiOperation({ summary: 'Take a door out of service, or put it back', operationId: 'setDoorState' })
  @ApiHeader(ifMatchHeader)
  @ApiResponse({ status: 200, standardSchema: door })
  async setState(
    @CallerOf() caller: Caller,
    @Param('id', IdPipe) id: string,
    @Headers('if-match') ifMatch: string | undefined,
    @Body({ schema: doorSetState }) given: DoorSetState,
    @Res({ passthrough: true }) reply: FastifyReply,
  ): Promise<Row> {
    return tagged(reply, await this.verbs.setState(caller, id, versionIfGiven(ifMatch), given));
  }

  @Post('doors/:id/decommission')
  @HttpCode(200)
  @Allow('write', 'doors')
  @ApiOperation({ summary: 'Take a door out for good; its history stays', operationId: 'decommissionDoor' })
  @ApiHeader(ifMatchHeader)
  @ApiResponse({ status: 200, standardSchema: door })
  async decommission(
    @CallerOf() caller: Caller,
    @Param('id', IdPipe) id: string,
    @Headers('if-match') ifMatch: string | undefined,
    @Body({ schema: doorDecommission }) given: DoorDecommission,
    @Res({ passthrough: true }) reply: FastifyReply,
  ): Promise<Row> {
    return tagged(reply, await this.verbs.decommission(caller, id, versionIfGiven(ifMatch), given.reason));
  }

  @Post('counters/:id/remove')
  @HttpCode(200)
  @Allow('write', 'counters')
  @ApiOperation({ summary: 'A counter came off its door', operationId: 'removeCounter' })
  @ApiHeader(ifMatchHeader)
  @ApiResponse({ status: 200, standardSchema: counter })
  async removeCounter(
    @CallerOf() caller: Caller,
    @Param('id', IdPipe) id: string,
    @Headers('if-match') ifMatch: string | undefined,
    @Body({ schema: counterRemove }) given: CounterRemove,
    @Res({ passthrough: true }) reply: FastifyReply,
  ): Promise<Row> {
    return tagged(reply, await this.verbs.removeCounter(caller, id, versionIfGiven(ifMatch), given));
  }

  @Post('fitted-parts/:id/remove')
  @HttpCode(200)
  @Allow('write', 'fitted-parts')
  @ApiOperation({ summary: 'A part came off its door, and why', operationId: 'removeFittedPart' })
  @ApiHeader(ifMatchHeader)
  @ApiResponse({ status: 200, standardSchema: fittedPart })
  async removePart(
    @CallerOf() caller: Caller,
    @Param('id', IdPipe) id: string,
    @Headers('if-match') ifMatch: string | undefined,
    @Body({ schema: fittedPartRemove }) given: FittedPartRemove,
    @Res({ passthrough: true }) reply: FastifyReply,
  ): Promise<Row> {
    return tagged(reply, await this.verbs.removePart(caller, id, versionIfGiven(ifMatch), given));
  }
}

function tagged(reply: FastifyReply, row: Row): Row {
  setEtag(reply, row);
  return row;
}
