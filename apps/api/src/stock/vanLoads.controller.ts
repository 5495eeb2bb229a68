import { vanLoad, vanLoaded, type VanLoad, type VanLoaded } from '@lintel/contract';
import { loadVan, type Store } from '@lintel/store';
import { Body, Controller, HttpCode, Inject, Post } from '@nestjs/common';
import { ApiOperation, ApiResponse, ApiTags } from '@nestjs/swagger';
import { Allow, CallerOf, type Caller } from '../platform/access.js';
import { STORE } from '../platform/options.js';
import { invalid } from '../platform/refusal.js';

@ApiTags('stock')
@Controller('van-loads')
export class VanLoadsController {
  constructor(@Inject(STORE) private readonly store: Store) {}

  @Post()
  @HttpCode(200)
  @Allow('write', 'van-stock')
  @ApiOperation({ summary: "Take parts from the company's store into a van, or back; all or none", operationId: 'loadVan' })
  @ApiResponse({ status: 200, standardSchema: vanLoaded })
  async load(@CallerOf() { context }: Caller, @Body({ schema: vanLoad }) given: VanLoad): Promise<VanLoaded> {
    const done = await this.store.withCompanySql(context, (client) => loadVan(client, context, given));
    if ('errors' in done) throw invalid(done.errors);
    return done;
  }
}
