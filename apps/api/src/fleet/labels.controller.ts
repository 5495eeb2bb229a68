import { doorLabelQuery, mostLabels, type DoorLabelQuery, type FilterValue } from '@lintel/contract';
import { Controller, Get, Inject, Query, Req, Res } from '@nestjs/common';
import { ApiOperation, ApiProduces, ApiResponse, ApiTags } from '@nestjs/swagger';
import type { FastifyReply, FastifyRequest } from 'fastify';
import { Allow, CallerOf, type Caller } from '../platform/access.js';
import { invalidField, notFound } from '../platform/refusal.js';
import { Reader } from '../platform/resource/reader.js';
import { doors } from './doors.js';
import { labelSheet } from './labelSheet.js';

const inUse = ['in-service', 'out-of-service'];

@ApiTags('fleet')
@Controller('doors')
export class LabelsController {
  constructor(@Inject(Reader) private readonly reader: Reader) {}

  @Get('labels.pdf')
  @Allow('read', 'door-labels')
  @ApiProduces('application/pdf')
  @ApiOperation({ summary: 'Labels of doors to print: a code that opens the door on the tablet, and its name, site and serial', operationId: 'printDoorLabels' })
  @ApiResponse({ status: 200, content: { 'application/pdf': { schema: { type: 'string', format: 'binary' } } } })
  async labels(
    @CallerOf() caller: Caller,
    @Query({ schema: doorLabelQuery }) asked: DoorLabelQuery,
    @Req() request: FastifyRequest,
    @Res() reply: FastifyReply,
  ): Promise<void> {
    // Nothing fits: an empty list of states would mean any.
    if (asked.state === 'decommissioned') throw notFound('door');
    const { items, hasNext } = await this.reader.list(doors, caller, {
      limit: mostLabels, offset: 0, count: false, sort: [{ field: 'siteName', descending: false }, { field: 'name', descending: false }],
      search: asked.q || null, filters: filtersOf(asked), ranges: [],
    });
    if (items.length === 0) throw notFound('door');
    if (hasNext) throw invalidField('siteId', `is needed: more than ${mostLabels} doors fit`);
    // Where the pages come from is where the tablet's are.
    const origin = `${request.protocol}://${request.host}`;
    const labels = items.map((door) => ({
      address: `${origin}/tablet/door/${door['id'] as string}`, name: door['name'] as string, siteName: door['siteName'] as string, serial: door['serial'] as string | null,
    }));
    const file = await labelSheet(labels, asked.paper, asked.size, new Date());
    void reply.header('content-type', 'application/pdf').header('content-disposition', 'inline; filename="door-labels.pdf"').header('cache-control', 'no-store').send(file);
  }
}

/** The list's own filters, but for what has been decommissioned. */
function filtersOf({ paper: _paper, size: _size, q: _q, id, state, ...single }: DoorLabelQuery): Record<string, FilterValue[]> {
  return {
    ...Object.fromEntries(Object.entries(single).flatMap(([field, value]) => (value === undefined ? [] : [[field, [value]]]))),
    ...(id && { id }),
    state: inUse.filter((one) => state === undefined || one === state),
  };
}
