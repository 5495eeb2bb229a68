import {
  doorRenewals, jobAsked, refitAsked, safetyLives, wearAnalysis, wearModel, wearModelWord,
  type DoorRenewals, type JobAsked, type RefitAsked, type SafetyLives, type WearAnalysis, type WearModelWord,
} from '@lintel/contract';
import { Body, Controller, Get, Headers, HttpCode, Inject, Param, Post, Res } from '@nestjs/common';
import { ApiHeader, ApiOperation, ApiResponse, ApiTags } from '@nestjs/swagger';
import type { FastifyReply } from 'fastify';
import { Allow, CallerOf, type Caller } from '../platform/access.js';
import { apiPrefix } from '../platform/options.js';
import type { Row } from '../platform/resource/definition.js';
import { setEtag, versionIfGiven } from '../platform/resource/etag.js';
import { IdPipe } from '../platform/validation.js';
import { WearService } from './wear.service.js';

const ifMatchHeader = { name: 'If-Match', required: false, description: 'ETag of the version; honoured where given' };

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

  @Post('wear-models/:id/fix')
  @HttpCode(200)
  @Allow('write', 'wear-models')
  @ApiOperation({ summary: 'Keep this version in use until it is released', operationId: 'fixWearModel' })
  @ApiHeader(ifMatchHeader)
  @ApiResponse({ status: 200, standardSchema: wearModel })
  async fix(
    @CallerOf() caller: Caller,
    @Param('id', IdPipe) id: string,
    @Headers('if-match') ifMatch: string | undefined,
    @Body({ schema: wearModelWord }) { note }: WearModelWord,
    @Res({ passthrough: true }) reply: FastifyReply,
  ): Promise<Row> {
    return tagged(reply, await this.service.decide(caller, { id, version: versionIfGiven(ifMatch), deed: 'fix', note }));
  }

  @Post('wear-models/:id/release')
  @HttpCode(200)
  @Allow('write', 'wear-models')
  @ApiOperation({ summary: 'Let the newest version be in use again', operationId: 'releaseWearModel' })
  @ApiHeader(ifMatchHeader)
  @ApiResponse({ status: 200, standardSchema: wearModel })
  async release(
    @CallerOf() caller: Caller,
    @Param('id', IdPipe) id: string,
    @Headers('if-match') ifMatch: string | undefined,
    @Body({ schema: wearModelWord }) { note }: WearModelWord,
    @Res({ passthrough: true }) reply: FastifyReply,
  ): Promise<Row> {
    return tagged(reply, await this.service.decide(caller, { id, version: versionIfGiven(ifMatch), deed: 'release', note }));
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
}

function tagged(reply: FastifyReply, row: Row): Row {
  setEtag(reply, row);
  return row;
}
