import { travelCleared, travelFile, travelTaken, type TravelCleared, type TravelTaken } from '@lintel/contract';
import { clearTravel, importTravel, type Store } from '@lintel/store';
import { Body, Controller, Delete, HttpCode, Inject, Post } from '@nestjs/common';
import { ApiOperation, ApiResponse, ApiTags } from '@nestjs/swagger';
import { Allow, CallerOf, type Caller } from '../platform/access.js';
import { STORE } from '../platform/options.js';

@ApiTags('routes')
@Controller('travel-times')
export class TravelTimesController {
  constructor(@Inject(STORE) private readonly store: Store) {}

  @Post()
  @HttpCode(200)
  @Allow('write', 'travel-times')
  @ApiOperation({ summary: 'Take travel times in as CSV: from,to,minutes[,km], by names of sites and technicians', operationId: 'postTravelTimes' })
  @ApiResponse({ status: 200, standardSchema: travelTaken })
  take(@CallerOf() { context }: Caller, @Body({ schema: travelFile }) { text }: { text: string }): Promise<TravelTaken> {
    return this.store.withCompanySql(context, (client) => importTravel(client, context, text));
  }

  @Delete()
  @Allow('write', 'travel-times')
  @ApiOperation({ summary: 'Forget all travel times that were given; travel is asked of the routing server or estimated again', operationId: 'clearTravelTimes' })
  @ApiResponse({ status: 200, standardSchema: travelCleared })
  async clear(@CallerOf() { context }: Caller): Promise<TravelCleared> {
    return { removed: await this.store.withCompanySql(context, (client) => clearTravel(client, context)) };
  }
}
