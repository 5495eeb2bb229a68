import { outlook, type Outlook } from '@lintel/contract';
import { Controller, Get, Inject } from '@nestjs/common';
import { ApiOperation, ApiResponse, ApiTags } from '@nestjs/swagger';
import { Allow, CallerOf, type Caller } from '../platform/access.js';
import { OutlookService } from './outlook.service.js';

@ApiTags('upkeep')
@Controller('outlook')
export class OutlookController {
  constructor(@Inject(OutlookService) private readonly service: OutlookService) {}

  @Get()
  @Allow('read', 'outlook')
  @ApiOperation({ summary: 'What must be acted on, and the weeks ahead', operationId: 'getOutlook' })
  @ApiResponse({ status: 200, standardSchema: outlook })
  outlook(@CallerOf() caller: Caller): Promise<Outlook> {
    return this.service.outlook(caller);
  }
}
