import {
  movePrices, planDifference, planProblem, planPublished, replanCreate, routePlanAsked, routePlanCreate, routePlanDetail, visitMove,
  type MovePrices, type PlanDifference, type PlanProblem, type PlanPublished, type ReplanCreate, type RoutePlanAsked, type RoutePlanCreate,
  type RoutePlanDetail, type VisitMove,
} from '@lintel/contract';
import { Body, Controller, Get, Headers, HttpCode, Inject, Param, Post, Res } from '@nestjs/common';
import { ApiHeader, ApiOperation, ApiResponse, ApiTags } from '@nestjs/swagger';
import type { FastifyReply } from 'fastify';
import { Allow, CallerOf, type Caller } from '../platform/access.js';
import { apiPrefix } from '../platform/options.js';
import { setEtag, versionIfGiven } from '../platform/resource/etag.js';
import { IdPipe } from '../platform/validation.js';
import { RoutePlansService } from './routePlans.service.js';

const ifMatchHeader = { name: 'If-Match', required: false, description: 'ETag of the version; honoured where given' };

@ApiTags('routes')
@Controller('route-plans')
export class RoutePlansController {
  constructor(@Inject(RoutePlansService) private readonly service: RoutePlansService) {}

  @Post()
  @HttpCode(202)
  @Allow('write', 'route-plans')
  @ApiOperation({ summary: 'Ask for a route plan; a job makes it', operationId: 'createRoutePlan' })
  @ApiResponse({ status: 202, standardSchema: routePlanAsked })
  async create(@CallerOf() caller: Caller, @Body({ schema: routePlanCreate }) given: RoutePlanCreate, @Res({ passthrough: true }) reply: FastifyReply): Promise<RoutePlanAsked> {
    return located(reply, await this.service.create(caller, given));
  }

  @Get(':id')
  @Allow('read', 'route-plans')
  @ApiOperation({ summary: 'A route plan with its routes, visits and what the vans must carry', operationId: 'getRoutePlans' })
  @ApiResponse({ status: 200, standardSchema: routePlanDetail })
  async one(@CallerOf() caller: Caller, @Param('id', IdPipe) id: string, @Res({ passthrough: true }) reply: FastifyReply): Promise<RoutePlanDetail> {
    return tagged(reply, await this.service.detail(caller, id));
  }

  @Get(':id/difference')
  @Allow('read', 'route-plans')
  @ApiOperation({ summary: 'What accepting the plan changes against the one that it replaces', operationId: 'getRoutePlanDifference' })
  @ApiResponse({ status: 200, standardSchema: planDifference })
  difference(@CallerOf() caller: Caller, @Param('id', IdPipe) id: string): Promise<PlanDifference> {
    return this.service.difference(caller, id);
  }

  @Get(':id/problem')
  @Allow('read', 'route-plans')
  @ApiOperation({ summary: 'What the plan was solved from, to price moves in the page', operationId: 'getRoutePlanProblem' })
  @ApiResponse({ status: 200, standardSchema: planProblem })
  problem(@CallerOf() caller: Caller, @Param('id', IdPipe) id: string): Promise<PlanProblem> {
    return this.service.problem(caller, id);
  }

  @Post(':id/replan')
  @HttpCode(202)
  @Allow('write', 'route-plans')
  @ApiOperation({ summary: 'Make the plan again from today on, keeping what is locked or has begun', operationId: 'replanRoutePlan' })
  @ApiHeader(ifMatchHeader)
  @ApiResponse({ status: 202, standardSchema: routePlanAsked })
  async replan(
    @CallerOf() caller: Caller, @Param('id', IdPipe) id: string, @Headers('if-match') ifMatch: string | undefined, @Body({ schema: replanCreate }) given: ReplanCreate, @Res({ passthrough: true }) reply: FastifyReply,
  ): Promise<RoutePlanAsked> {
    return located(reply, await this.service.replan(caller, id, versionIfGiven(ifMatch), given));
  }

  @Post(':id/accept')
  @HttpCode(200)
  @Allow('write', 'route-plans')
  @ApiOperation({ summary: 'Take a draft for good', operationId: 'acceptRoutePlan' })
  @ApiHeader(ifMatchHeader)
  @ApiResponse({ status: 200, standardSchema: routePlanDetail })
  async accept(@CallerOf() caller: Caller, @Param('id', IdPipe) id: string, @Headers('if-match') ifMatch: string | undefined): Promise<RoutePlanDetail> {
    return this.service.decide(caller, id, 'accept', versionIfGiven(ifMatch));
  }

  @Post(':id/discard')
  @HttpCode(200)
  @Allow('write', 'route-plans')
  @ApiOperation({ summary: 'Throw a plan away that was not published', operationId: 'discardRoutePlan' })
  @ApiHeader(ifMatchHeader)
  @ApiResponse({ status: 200, standardSchema: routePlanDetail })
  async discard(@CallerOf() caller: Caller, @Param('id', IdPipe) id: string, @Headers('if-match') ifMatch: string | undefined): Promise<RoutePlanDetail> {
    return this.service.decide(caller, id, 'discard', versionIfGiven(ifMatch));
  }

  @Post(':id/publish')
  @HttpCode(200)
  @Allow('write', 'route-plans')
  @ApiOperation({ summary: 'Publish an accepted plan to technicians and owners', operationId: 'publishRoutePlan' })
  @ApiHeader(ifMatchHeader)
  @ApiResponse({ status: 200, standardSchema: planPublished })
  publish(@CallerOf() caller: Caller, @Param('id', IdPipe) id: string, @Headers('if-match') ifMatch: string | undefined): Promise<PlanPublished> {
    return this.service.publish(caller, id, versionIfGiven(ifMatch));
  }

  @Post(':id/cancel')
  @HttpCode(202)
  @Allow('write', 'route-plans')
  @ApiOperation({ summary: 'Stop the search; the best plan so far is the draft', operationId: 'cancelRoutePlan' })
  @ApiHeader(ifMatchHeader)
  @ApiResponse({ status: 202, standardSchema: routePlanDetail })
  cancel(@CallerOf() caller: Caller, @Param('id', IdPipe) id: string, @Headers('if-match') ifMatch: string | undefined): Promise<RoutePlanDetail> {
    return this.service.cancel(caller, id, versionIfGiven(ifMatch));
  }
}

@ApiTags('routes')
@Controller('route-plans')
export class PlanVisitsController {
  constructor(@Inject(RoutePlansService) private readonly service: RoutePlansService) {}

  @Get(':id/visits/:visitId/moves')
  @Allow('read', 'route-plans')
  @ApiOperation({ summary: 'What moving a visit to each place would cost', operationId: 'getVisitMoves' })
  @ApiResponse({ status: 200, standardSchema: movePrices })
  moves(@CallerOf() caller: Caller, @Param('id', IdPipe) id: string, @Param('visitId', IdPipe) visitId: string): Promise<MovePrices> {
    return this.service.moves(caller, id, visitId);
  }

  @Post(':id/visits/:visitId/move')
  @HttpCode(200)
  @Allow('write', 'route-plans')
  @ApiOperation({ summary: 'Move a visit by hand, or take it out', operationId: 'moveVisit' })
  @ApiHeader(ifMatchHeader)
  @ApiResponse({ status: 200, standardSchema: routePlanDetail })
  move(
    @CallerOf() caller: Caller, @Param('id', IdPipe) id: string, @Param('visitId', IdPipe) visitId: string, @Headers('if-match') ifMatch: string | undefined,
    @Body({ schema: visitMove }) given: VisitMove,
  ): Promise<RoutePlanDetail> {
    return this.service.move(caller, { planId: id, visitId, version: versionIfGiven(ifMatch) }, given);
  }

  @Post(':id/visits/:visitId/lock')
  @HttpCode(200)
  @Allow('write', 'route-plans')
  @ApiOperation({ summary: 'Keep a visit where it is when the plan is made again', operationId: 'lockVisit' })
  @ApiHeader(ifMatchHeader)
  @ApiResponse({ status: 200, standardSchema: routePlanDetail })
  lock(@CallerOf() caller: Caller, @Param('id', IdPipe) id: string, @Param('visitId', IdPipe) visitId: string, @Headers('if-match') ifMatch: string | undefined): Promise<RoutePlanDetail> {
    return this.service.lock(caller, { planId: id, visitId, version: versionIfGiven(ifMatch) }, true);
  }

  @Post(':id/visits/:visitId/unlock')
  @HttpCode(200)
  @Allow('write', 'route-plans')
  @ApiOperation({ summary: 'Let go of a visit', operationId: 'unlockVisit' })
  @ApiHeader(ifMatchHeader)
  @ApiResponse({ status: 200, standardSchema: routePlanDetail })
  unlock(@CallerOf() caller: Caller, @Param('id', IdPipe) id: string, @Param('visitId', IdPipe) visitId: string, @Headers('if-match') ifMatch: string | undefined): Promise<RoutePlanDetail> {
    return this.service.lock(caller, { planId: id, visitId, version: versionIfGiven(ifMatch) }, false);
  }
}

function located(reply: FastifyReply, asked: RoutePlanAsked): RoutePlanAsked {
  reply.header('location', `/${apiPrefix}/route-plans/${asked.planId}`);
  return asked;
}

function tagged(reply: FastifyReply, plan: RoutePlanDetail): RoutePlanDetail {
  setEtag(reply, plan);
  return plan;
}
