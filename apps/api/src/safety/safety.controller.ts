import {
  calibration, calibrationWithdraw, competence, competenceRevoke, forceLimitSet, forceLimitsInUse, instrumentFitness, onDay,
  type CalibrationWithdraw, type CompetenceRevoke, type ForceLimitSet, type ForceLimitsInUse, type InstrumentFitness, type OnDay,
} from '@lintel/contract';
import { Body, Controller, Get, Headers, HttpCode, Inject, Param, Post, Query, Res } from '@nestjs/common';
import { ApiHeader, ApiOperation, ApiResponse, ApiTags } from '@nestjs/swagger';
import type { FastifyReply } from 'fastify';
import { Allow, CallerOf, type Caller } from '../platform/access.js';
import type { Row } from '../platform/resource/definition.js';
import { setEtag, versionOf } from '../platform/resource/etag.js';
import { IdPipe } from '../platform/validation.js';
import { SafetyService } from './safety.service.js';

@ApiTags('safety')
@Controller()
export class SafetyController {
  constructor(@Inject(SafetyService) private readonly service: SafetyService) {}

  @Get('force-limits')
  @Allow('read', 'force-limits')
  @ApiOperation({ summary: 'The force limits in use, with every change since those that the program came with', operationId: 'getForceLimits' })
  @ApiResponse({ status: 200, standardSchema: forceLimitsInUse })
  async limits(@CallerOf() caller: Caller, @Res({ passthrough: true }) reply: FastifyReply): Promise<ForceLimitsInUse> {
    return tagged(reply, await this.service.limits(caller));
  }

  @Post('force-limits')
  @HttpCode(200)
  @Allow('write', 'force-limits')
  @ApiOperation({ summary: 'Change one limit: a new version; a looser value needs a reason', operationId: 'setForceLimit' })
  @ApiHeader({ name: 'If-Match', required: true, description: 'ETag of the table that the change was made over' })
  @ApiResponse({ status: 200, standardSchema: forceLimitsInUse })
  async setLimit(
    @CallerOf() caller: Caller,
    @Headers('if-match') ifMatch: string | undefined,
    @Body({ schema: forceLimitSet }) given: ForceLimitSet,
    @Res({ passthrough: true }) reply: FastifyReply,
  ): Promise<ForceLimitsInUse> {
    return tagged(reply, await this.service.setLimit(caller, versionOf(ifMatch), given));
  }

  @Get('instruments/:id/fitness')
  @Allow('read', 'instruments')
  @ApiOperation({ summary: 'Why a force gauge may not be used on a day; empty if it may', operationId: 'getInstrumentFitness' })
  @ApiResponse({ status: 200, standardSchema: instrumentFitness })
  fitness(@CallerOf() caller: Caller, @Param('id', IdPipe) id: string, @Query({ schema: onDay }) { on }: OnDay): Promise<InstrumentFitness> {
    return this.service.fitness(caller, id, on ?? new Date().toISOString().slice(0, 10));
  }

  @Post('calibrations/:id/withdraw')
  @HttpCode(200)
  @Allow('write', 'calibrations')
  @ApiOperation({ summary: 'A calibration that was entered in error counts no more', operationId: 'withdrawCalibration' })
  @ApiResponse({ status: 200, standardSchema: calibration })
  withdraw(
    @CallerOf() caller: Caller,
    @Param('id', IdPipe) id: string,
    @Body({ schema: calibrationWithdraw }) { reason }: CalibrationWithdraw,
  ): Promise<Row> {
    return this.service.withdraw(caller, id, reason);
  }

  @Post('competences/:id/revoke')
  @HttpCode(200)
  @Allow('write', 'competences')
  @ApiOperation({ summary: 'A competence holds no more from a day on', operationId: 'revokeCompetence' })
  @ApiResponse({ status: 200, standardSchema: competence })
  revoke(@CallerOf() caller: Caller, @Param('id', IdPipe) id: string, @Body({ schema: competenceRevoke }) given: CompetenceRevoke): Promise<Row> {
    return this.service.revoke(caller, id, given);
  }
}

/** The table's version is its ETag. */
function tagged(reply: FastifyReply, limits: ForceLimitsInUse): ForceLimitsInUse {
  setEtag(reply, { version: limits.table.version });
  return limits;
}
