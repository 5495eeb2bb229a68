import {
  commandAnswers, deviceCommands, deviceState, deviceStateQuery,
  type CommandAnswers, type DeviceCommands, type DeviceState, type DeviceStateQuery,
} from '@lintel/contract';
import { runDeviceCommands, type Store } from '@lintel/store';
import { Body, Controller, Get, HttpCode, Inject, Post, Query } from '@nestjs/common';
import { ApiOperation, ApiResponse, ApiTags } from '@nestjs/swagger';
import { Allow, CallerOf, type Caller } from '../platform/access.js';
import { STORE } from '../platform/options.js';
import { DeviceStateService } from './deviceState.service.js';
import { senderOf } from './orders.service.js';

@ApiTags('work')
@Controller('device')
export class DeviceController {
  constructor(
    @Inject(STORE) private readonly store: Store,
    @Inject(DeviceStateService) private readonly states: DeviceStateService,
  ) {}

  @Post('commands')
  @HttpCode(200)
  @Allow('write', 'work-commands')
  @ApiOperation({ summary: 'Do what was done on a device, in its order; what is known already is answered as it was', operationId: 'postDeviceCommands' })
  @ApiResponse({ status: 200, standardSchema: commandAnswers })
  async commands(@CallerOf() caller: Caller, @Body({ schema: deviceCommands }) given: DeviceCommands): Promise<CommandAnswers> {
    const sender = { ...senderOf(caller), context: { ...caller.context, actor: 'tablet' } };
    const answers = await runDeviceCommands(this.store, sender, given);
    return { serverTime: new Date().toISOString(), answers };
  }

  @Get('state')
  @Allow('read', 'work-commands')
  @ApiOperation({ summary: 'What a device holds: the caller\'s orders with their doors', operationId: 'getDeviceState' })
  @ApiResponse({ status: 200, standardSchema: deviceState })
  state(@CallerOf() caller: Caller, @Query({ schema: deviceStateQuery }) query: DeviceStateQuery): Promise<DeviceState> {
    return this.states.state(caller, query);
  }
}
