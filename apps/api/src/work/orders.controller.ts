import {
  answerGiven, completeGiven, findingGiven, wholeWorkOrder, workCancel, workOrderChange, workOrderCreate, workOrderIds, workOrderResults,
  workOrdersFromDue, type AnswerGiven, type FindingGiven, type WholeWorkOrder, type WorkCancel, type WorkOrderChange, type WorkOrderCreate,
  type WorkOrderIds, type WorkOrderResults, type WorkOrdersFromDue,
} from '@lintel/contract';
import { Body, Controller, Get, Headers, HttpCode, Inject, Param, Patch, Post, Res } from '@nestjs/common';
import { ApiHeader, ApiOperation, ApiResponse, ApiTags } from '@nestjs/swagger';
import type { FastifyReply } from 'fastify';
import { Allow, CallerOf, type Caller } from '../platform/access.js';
import { apiPrefix } from '../platform/options.js';
import { setEtag, versionIfGiven, versionOf } from '../platform/resource/etag.js';
import { IdPipe } from '../platform/validation.js';
import { WorkService } from './orders.service.js';

const ifMatch = { name: 'If-Match', required: false, description: 'ETag of the order; honoured where given' };

@ApiTags('work')
@Controller('work-orders')
export class WorkOrdersController {
  constructor(@Inject(WorkService) private readonly work: WorkService) {}

  @Post()
  @Allow('write', 'work-orders')
  @ApiOperation({ summary: 'Make an order: from a due item, from a finding, or by hand', operationId: 'createWorkOrder' })
  @ApiResponse({ status: 201, standardSchema: wholeWorkOrder })
  async create(@CallerOf() caller: Caller, @Body({ schema: workOrderCreate }) given: WorkOrderCreate, @Res({ passthrough: true }) reply: FastifyReply): Promise<WholeWorkOrder> {
    const order = await this.work.create(caller, given);
    reply.header('location', `/${apiPrefix}/work-orders/${order.id}`);
    return tagged(reply, order);
  }

  @Post('from-due')
  @HttpCode(200)
  @Allow('write', 'work-orders')
  @ApiOperation({ summary: 'Make orders from due items, each by itself', operationId: 'createWorkOrdersFromDue' })
  @ApiResponse({ status: 200, standardSchema: workOrderResults })
  fromDue(@CallerOf() caller: Caller, @Body({ schema: workOrdersFromDue }) { items, ...planned }: WorkOrdersFromDue): Promise<WorkOrderResults> {
    return this.work.createMany(caller, items.map((item) => ({ ...item, ...planned })));
  }

  @Post('release')
  @HttpCode(200)
  @Allow('write', 'work-orders')
  @ApiOperation({ summary: 'Release orders, each by itself', operationId: 'releaseWorkOrders' })
  @ApiResponse({ status: 200, standardSchema: workOrderResults })
  releaseMany(@CallerOf() caller: Caller, @Body({ schema: workOrderIds }) { ids }: WorkOrderIds): Promise<WorkOrderResults> {
    return this.work.releaseMany(caller, ids.map((id) => id.toLowerCase()));
  }

  @Get(':id')
  @Allow('read', 'work-orders')
  @ApiOperation({ summary: 'An order with all that hangs on it', operationId: 'getWorkOrders' })
  @ApiResponse({ status: 200, standardSchema: wholeWorkOrder })
  async one(@CallerOf() caller: Caller, @Param('id', IdPipe) id: string, @Res({ passthrough: true }) reply: FastifyReply): Promise<WholeWorkOrder> {
    return tagged(reply, await this.work.whole(caller, id));
  }

  @Patch(':id')
  @Allow('write', 'work-orders')
  @ApiOperation({ summary: 'Plan an order otherwise', operationId: 'changeWorkOrders' })
  @ApiHeader({ ...ifMatch, required: true })
  @ApiResponse({ status: 200, standardSchema: wholeWorkOrder })
  async change(
    @CallerOf() caller: Caller, @Param('id', IdPipe) id: string, @Headers('if-match') version: string | undefined,
    @Body({ schema: workOrderChange }) given: WorkOrderChange, @Res({ passthrough: true }) reply: FastifyReply,
  ): Promise<WholeWorkOrder> {
    return tagged(reply, await this.work.change(caller, id, versionOf(version), given));
  }

  @Post(':id/release')
  @HttpCode(200)
  @Allow('write', 'work-orders')
  @ApiOperation({ summary: 'Release an order: its steps are fixed from then on', operationId: 'releaseWorkOrder' })
  @ApiResponse({ status: 200, standardSchema: wholeWorkOrder })
  async release(@CallerOf() caller: Caller, @Param('id', IdPipe) id: string, @Res({ passthrough: true }) reply: FastifyReply): Promise<WholeWorkOrder> {
    return tagged(reply, await this.work.release(caller, id));
  }

  @Post(':id/review')
  @HttpCode(200)
  @Allow('write', 'work-orders')
  @ApiOperation({ summary: 'A completed order was looked at', operationId: 'reviewWorkOrder' })
  @ApiHeader(ifMatch)
  @ApiResponse({ status: 200, standardSchema: wholeWorkOrder })
  async review(
    @CallerOf() caller: Caller, @Param('id', IdPipe) id: string, @Headers('if-match') version: string | undefined, @Res({ passthrough: true }) reply: FastifyReply,
  ): Promise<WholeWorkOrder> {
    return tagged(reply, await this.work.review(caller, id, versionIfGiven(version)));
  }

  @Post(':id/cancel')
  @HttpCode(200)
  @Allow('write', 'work-orders')
  @ApiOperation({ summary: 'Cancel an order, and why', operationId: 'cancelWorkOrder' })
  @ApiHeader(ifMatch)
  @ApiResponse({ status: 200, standardSchema: wholeWorkOrder })
  async cancel(
    @CallerOf() caller: Caller, @Param('id', IdPipe) id: string, @Headers('if-match') version: string | undefined,
    @Body({ schema: workCancel }) { reason }: WorkCancel, @Res({ passthrough: true }) reply: FastifyReply,
  ): Promise<WholeWorkOrder> {
    return tagged(reply, await this.work.cancel(caller, id, versionIfGiven(version), reason));
  }
}

/** What a technician does with an order, asked for from a page. */
@ApiTags('work')
@Controller('work-orders')
export class WorkDeskController {
  constructor(@Inject(WorkService) private readonly work: WorkService) {}

  @Post(':id/start')
  @HttpCode(200)
  @Allow('write', 'work-commands')
  @ApiOperation({ summary: 'Begin the work', operationId: 'startWorkOrder' })
  @ApiHeader(ifMatch)
  @ApiResponse({ status: 200, standardSchema: wholeWorkOrder })
  async start(
    @CallerOf() caller: Caller, @Param('id', IdPipe) id: string, @Headers('if-match') version: string | undefined, @Res({ passthrough: true }) reply: FastifyReply,
  ): Promise<WholeWorkOrder> {
    return tagged(reply, await this.work.work(caller, id, versionIfGiven(version), { command: 'start' }));
  }

  @Post(':id/answer')
  @HttpCode(200)
  @Allow('write', 'work-commands')
  @ApiOperation({ summary: 'Answer a step, or settle a contradiction', operationId: 'answerWorkStep' })
  @ApiHeader(ifMatch)
  @ApiResponse({ status: 200, standardSchema: wholeWorkOrder })
  async answer(
    @CallerOf() caller: Caller, @Param('id', IdPipe) id: string, @Headers('if-match') version: string | undefined,
    @Body({ schema: answerGiven }) given: AnswerGiven, @Res({ passthrough: true }) reply: FastifyReply,
  ): Promise<WholeWorkOrder> {
    return tagged(reply, await this.work.work(caller, id, versionIfGiven(version), { command: 'answer', ...given }));
  }

  @Post(':id/report')
  @HttpCode(200)
  @Allow('write', 'work-commands')
  @ApiOperation({ summary: 'Report a finding', operationId: 'reportWorkFinding' })
  @ApiResponse({ status: 200, standardSchema: wholeWorkOrder })
  async report(
    @CallerOf() caller: Caller, @Param('id', IdPipe) id: string, @Body({ schema: findingGiven }) finding: FindingGiven, @Res({ passthrough: true }) reply: FastifyReply,
  ): Promise<WholeWorkOrder> {
    return tagged(reply, await this.work.work(caller, id, null, { command: 'report', finding }));
  }

  @Post(':id/complete')
  @HttpCode(200)
  @Allow('write', 'work-commands')
  @ApiOperation({ summary: 'Complete the work, as passed or not', operationId: 'completeWorkOrder' })
  @ApiHeader(ifMatch)
  @ApiResponse({ status: 200, standardSchema: wholeWorkOrder })
  async complete(
    @CallerOf() caller: Caller, @Param('id', IdPipe) id: string, @Headers('if-match') version: string | undefined,
    @Body({ schema: completeGiven }) { passed }: { passed: boolean }, @Res({ passthrough: true }) reply: FastifyReply,
  ): Promise<WholeWorkOrder> {
    return tagged(reply, await this.work.work(caller, id, versionIfGiven(version), { command: 'complete', passed }));
  }
}

function tagged(reply: FastifyReply, order: WholeWorkOrder): WholeWorkOrder {
  setEtag(reply, { version: order.version });
  return order;
}
