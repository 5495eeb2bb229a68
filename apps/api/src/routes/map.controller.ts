import { mapSettings, type MapSettings } from '@lintel/contract';
import { Controller, Get, Inject } from '@nestjs/common';
import { ApiOperation, ApiResponse, ApiTags } from '@nestjs/swagger';
import { Allow } from '../platform/access.js';
import { API_OPTIONS, type ApiOptions } from '../platform/options.js';

@ApiTags('routes')
@Controller('map')
export class MapController {
  constructor(@Inject(API_OPTIONS) private readonly options: ApiOptions) {}

  @Get()
  @Allow('read', 'route-plans')
  @ApiOperation({ summary: 'What the map of a plan is drawn on', operationId: 'getMap' })
  @ApiResponse({ status: 200, standardSchema: mapSettings })
  map(): MapSettings {
    return { tiles: this.options.tiles ?? null };
  }
}
