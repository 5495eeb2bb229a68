import {
  compliance, complianceDoors, complianceQuery, type Compliance, type ComplianceDoors, type ComplianceQuery,
} from '@lintel/contract';
import { compliance as complianceOf, complianceLines, siteCompliance, type Store } from '@lintel/store';
import { Controller, Get, Header, Inject, Param, Query } from '@nestjs/common';
import { ApiOperation, ApiProduces, ApiResponse, ApiTags } from '@nestjs/swagger';
import { stringify } from 'csv-stringify/sync';
import { Allow, CallerOf, type Caller } from '../platform/access.js';
import { STORE } from '../platform/options.js';
import { notFound } from '../platform/refusal.js';
import { IdPipe } from '../platform/validation.js';

const columns = [
  { key: 'ownerName', header: 'owner' },
  { key: 'siteName', header: 'site' },
  { key: 'doorName', header: 'door' },
  { key: 'doorState', header: 'door state' },
  { key: 'device', header: 'device' },
  { key: 'lastOn', header: 'last tested on' },
  { key: 'nextOn', header: 'next at the latest on' },
  { key: 'state', header: 'state' },
];

/** Whether the safety devices are tested in time: of an owner, on its own sites. */
@ApiTags('safety')
@Controller('compliance')
export class ComplianceController {
  constructor(@Inject(STORE) private readonly store: Store) {}

  @Get()
  @Allow('read', 'compliance')
  @ApiOperation({ summary: 'Sites by kinds of safety devices: last and next test, the worst first', operationId: 'getCompliance' })
  @ApiResponse({ status: 200, standardSchema: compliance })
  matrix(@CallerOf() { context }: Caller, @Query({ schema: complianceQuery }) query: ComplianceQuery): Promise<Compliance> {
    return this.store.withCompanySql(context, (client) => complianceOf(client, query, new Date()));
  }

  @Get('export')
  @Allow('read', 'compliance')
  @Header('content-type', 'text/csv; charset=utf-8')
  @Header('content-disposition', 'attachment; filename="compliance.csv"')
  @ApiOperation({ summary: 'The same by door and device, as a CSV file', operationId: 'exportCompliance' })
  @ApiProduces('text/csv')
  @ApiResponse({ status: 200, schema: { type: 'string' } })
  async file(@CallerOf() { context }: Caller, @Query({ schema: complianceQuery }) query: ComplianceQuery): Promise<string> {
    const lines = await this.store.withCompanySql(context, (client) => complianceLines(client, query, new Date()));
    // A name that begins like a formula must not be one in anybody's spreadsheet.
    return stringify(lines, { header: true, columns, bom: true, escape_formulas: true });
  }

  @Get('sites/:id')
  @Allow('read', 'compliance')
  @ApiOperation({ summary: 'The doors of one site by kinds of safety devices', operationId: 'getSiteCompliance' })
  @ApiResponse({ status: 200, standardSchema: complianceDoors })
  async site(@CallerOf() { context }: Caller, @Param('id', IdPipe) id: string): Promise<ComplianceDoors> {
    const found = await this.store.withCompanySql(context, (client) => siteCompliance(client, id, new Date()));
    if (found === null) throw notFound('site');
    return found;
  }
}
