import {
  doorFaults, faultBatch, faultCourse, faultPoolQuery, faultsTaken, faultSummary, faultSummaryQuery, faultTrends, mostFaultDays,
  type DoorFaults, type FaultBatch, type FaultCourse, type FaultPoolQuery, type FaultsTaken, type FaultSummary,
  type FaultSummaryQuery, type FaultTrends,
} from '@lintel/contract';
import {
  doorFaults as faultsOfDoor, faultCourse as courseOf, faultSummary as summaryOf, faultTrends as trendsOf, ingestFaults, type Store,
} from '@lintel/store';
import { Body, Controller, Get, HttpCode, Inject, Param, Post, Query } from '@nestjs/common';
import { ApiOperation, ApiResponse, ApiTags } from '@nestjs/swagger';
import { Allow, CallerOf, type Caller } from '../platform/access.js';
import { STORE } from '../platform/options.js';
import { invalidField, notFound } from '../platform/refusal.js';
import { IdPipe } from '../platform/validation.js';

const dayMs = 86_400_000;

@ApiTags('faults')
@Controller('faults')
export class FaultsController {
  constructor(@Inject(STORE) private readonly store: Store) {}

  @Post()
  @HttpCode(200)
  @Allow('write', 'faults')
  @ApiOperation({ summary: 'Take faults in; what is known already changes nothing', operationId: 'postFaults' })
  @ApiResponse({ status: 200, standardSchema: faultsTaken })
  take(@CallerOf() { context }: Caller, @Body({ schema: faultBatch }) batch: FaultBatch): Promise<FaultsTaken> {
    const options = { source: batch.source ?? 'post', now: Date.now() } as const;
    return this.store.withCompanySql(context, (client) => ingestFaults(client, context, batch.faults, options));
  }

  @Get('summary')
  @Allow('read', 'faults')
  @ApiOperation({ summary: 'Faults of a time: what, where, how often for the cycles made, what came back', operationId: 'getFaultSummary' })
  @ApiResponse({ status: 200, standardSchema: faultSummary })
  summary(@CallerOf() { context }: Caller, @Query({ schema: faultSummaryQuery }) query: FaultSummaryQuery): Promise<FaultSummary> {
    const now = new Date();
    requireTime(query, now);
    return this.store.withCompanySql(context, (client) => summaryOf(client, query, now));
  }

  @Get('trends')
  @Allow('read', 'faults')
  @ApiOperation({ summary: 'Which doors are getting worse, and which better', operationId: 'getFaultTrends' })
  @ApiResponse({ status: 200, standardSchema: faultTrends })
  trends(@CallerOf() { context }: Caller, @Query({ schema: faultPoolQuery }) query: FaultPoolQuery): Promise<FaultTrends> {
    return this.store.withCompanySql(context, (client) => trendsOf(client, context, query, new Date()));
  }

  @Get('course')
  @Allow('read', 'faults')
  @ApiOperation({ summary: 'Mean cumulative number of faults of a door, for a pool of doors', operationId: 'getFaultCourse' })
  @ApiResponse({ status: 200, standardSchema: faultCourse })
  course(@CallerOf() { context }: Caller, @Query({ schema: faultPoolQuery }) query: FaultPoolQuery): Promise<FaultCourse> {
    return this.store.withCompanySql(context, (client) => courseOf(client, query, new Date()));
  }
}

@ApiTags('faults')
@Controller('doors')
export class DoorFaultsController {
  constructor(@Inject(STORE) private readonly store: Store) {}

  @Get(':id/faults')
  @Allow('read', 'faults')
  @ApiOperation({ summary: 'What a door reported, over its counter, and which way it goes', operationId: 'getDoorFaults' })
  @ApiResponse({ status: 200, standardSchema: doorFaults })
  async faults(@CallerOf() { context }: Caller, @Param('id', IdPipe) id: string): Promise<DoorFaults> {
    const found = await this.store.withCompanySql(context, (client) => faultsOfDoor(client, context, id, new Date()));
    if (found === null) throw notFound('door');
    return found;
  }
}

function requireTime({ atFrom, atTo }: FaultSummaryQuery, now: Date): void {
  if (atFrom === undefined) return;
  const days = ((atTo === undefined ? now.getTime() : Date.parse(atTo)) - Date.parse(atFrom)) / dayMs;
  if (days < 0) throw invalidField('atFrom', 'lies after the end');
  if (days > mostFaultDays) throw invalidField('atFrom', `a summary is of ${mostFaultDays} days at most`);
}
