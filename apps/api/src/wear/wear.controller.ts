import {
  doorRenewals, handbookLives, jobAsked, refitAsked, safetyLives, wearAnalysis, wearModel, wearModelWord,
  type DoorRenewals, type HandbookLives, type JobAsked, type RefitAsked, type SafetyLives, type WearAnalysis, type WearModelWord,
} from '@lintel/contract';
import { Body, Controller, Get, Headers, HttpCode, Inject, Param, Post, Res, type PipeTransform } from '@nestjs/common';
import { ApiHeader, ApiOperation, ApiParam, ApiResponse, ApiTags } from '@nestjs/swagger';
import type { FastifyReply } from 'fastify';
import { Allow, CallerOf, type Caller } from '../platform/access.js';
import { apiPrefix } from '../platform/options.js';
import { notFound } from '../platform/refusal.js';
import type { Row } from '../platform/resource/definition.js';
import { setEtag, versionIfGiven } from '../platform/resource/etag.js';
import { IdPipe } from '../platform/validation.js';
import { WearService, type Decision } from './wear.service.js';

const ifMatchHeader = { name: 'If-Match', required: false, description: 'ETag of the version; honoured where given' };

const deeds: readonly Decision['deed'][] = ['fix', 'release'];

/** What cannot be done to a version is no address. */
class DeedPipe implements PipeTransform<string, Decision['deed']> {
  transform(value: string): Decision['deed'] {
    const deed = deeds.find((known) => known === value);
    if (deed === undefined) throw notFound('row');
    return deed;
  }
}

@ApiTags('wear')
@Controller()
export class WearController {
  constructor(@Inject(WearService) private readonly service: WearService) {}

  @Get('wear-models/:id/analysis')
  @Allow('read', 'wear-models')
  @ApiOperation({ summary: 'What a wear model is drawn from: lives, laws, renewal', operationId: 'getWearAnalysis' })
  @ApiResponse({ status: 200, standardSchema: wearAnalysis })
  analysis(@CallerOf() caller: Caller, @Param('id', IdPipe) id: string): Promise<WearAnalysis> {
    return this.service.analysis(caller, id);
  }

  @Post('wear-models/refit')
  @HttpCode(202)
  @Allow('write', 'wear-models')
  @ApiOperation({ summary: 'Fit the models of one kind of part anew', operationId: 'refitWearModels' })
  @ApiResponse({ status: 202, standardSchema: jobAsked })
  async refit(
    @CallerOf() caller: Caller,
    @Body({ schema: refitAsked }) { kind }: RefitAsked,
    @Res({ passthrough: true }) reply: FastifyReply,
  ): Promise<JobAsked> {
    const jobId = await this.service.refit(caller, kind);
    reply.header('location', `/${apiPrefix}/jobs/${jobId}`);
    return { jobId };
  }

  @Post('wear-models/:id/:deed')
  @HttpCode(200)
  @Allow('write', 'wear-models')
  @ApiOperation({ summary: 'Fix a version: it stays in use until it is released; or release it', operationId: 'decideWearModel' })
  @ApiParam({ name: 'deed', enum: [...deeds] })
  @ApiHeader(ifMatchHeader)
  @ApiResponse({ status: 200, standardSchema: wearModel })
  async decide(
    @CallerOf() caller: Caller,
    @Param('id', IdPipe) id: string,
    @Param('deed', DeedPipe) deed: Decision['deed'],
    @Headers('if-match') ifMatch: string | undefined,
    @Body({ schema: wearModelWord }) { note }: WearModelWord,
    @Res({ passthrough: true }) reply: FastifyReply,
  ): Promise<Row> {
    const row = await this.service.decide(caller, { id, version: versionIfGiven(ifMatch), deed, note });
    setEtag(reply, row);
    return row;
  }

  @Get('doors/:id/renewals')
  @Allow('read', 'renewals')
  @ApiOperation({ summary: "Replace the door's parts now, or leave them: in money", operationId: 'getDoorRenewals' })
  @ApiResponse({ status: 200, standardSchema: doorRenewals })
  renewals(@CallerOf() caller: Caller, @Param('id', IdPipe) id: string): Promise<DoorRenewals> {
    return this.service.renewals(caller, id);
  }

  @Get('doors/:id/safety-lives')
  @Allow('read', 'safety-lives')
  @ApiOperation({ summary: "When the door's safety devices must be exchanged", operationId: 'getDoorSafetyLives' })
  @ApiResponse({ status: 200, standardSchema: safetyLives })
  safetyLives(@CallerOf() caller: Caller, @Param('id', IdPipe) id: string): Promise<SafetyLives> {
    return this.service.safetyLives(caller, id);
  }

  @Get('doors/:id/handbook-lives')
  @Allow('read', 'handbook-lives')
  @ApiOperation({ summary: "What handbooks say of the door's chains and bearings", operationId: 'getDoorHandbookLives' })
  @ApiResponse({ status: 200, standardSchema: handbookLives })
  handbookLives(@CallerOf() caller: Caller, @Param('id', IdPipe) id: string): Promise<HandbookLives> {
    return this.service.handbookLives(caller, id);
  }
}
