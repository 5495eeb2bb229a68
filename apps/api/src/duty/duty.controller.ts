import { doorDuty, type DoorDuty } from '@lintel/contract';
import { doorDuty as dutyOfDoor, type Store } from '@lintel/store';
import { Controller, Get, Inject, Param } from '@nestjs/common';
import { ApiOperation, ApiResponse, ApiTags } from '@nestjs/swagger';
import { Allow, CallerOf, type Caller } from '../platform/access.js';
import { STORE } from '../platform/options.js';
import { notFound } from '../platform/refusal.js';
import { IdPipe } from '../platform/validation.js';

@ApiTags('duty')
@Controller('doors')
export class DutyController {
  constructor(@Inject(STORE) private readonly store: Store) {}

  @Get(':id/duty')
  @Allow('read', 'duty')
  @ApiOperation({ summary: 'Lifetime cycles of a door so far and ahead', operationId: 'getDoorDuty' })
  @ApiResponse({ status: 200, standardSchema: doorDuty })
  async duty(@CallerOf() { context }: Caller, @Param('id', IdPipe) id: string): Promise<DoorDuty> {
    const duty = await this.store.withCompanySql(context, (client) => dutyOfDoor(client, context.companyId, id, new Date()));
    if (duty === null) throw notFound('door');
    return duty;
  }
}
