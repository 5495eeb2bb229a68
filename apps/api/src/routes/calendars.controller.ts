import { calendarFeedCreate, calendarFeedMade, type CalendarFeedMade } from '@lintel/contract';
import { createCalendarFeed, readCalendarFeed, revokeCalendarFeed, type Store } from '@lintel/store';
import { Body, Controller, Delete, Get, HttpCode, Inject, Param, Post, Res } from '@nestjs/common';
import { ApiOperation, ApiProduces, ApiResponse, ApiTags } from '@nestjs/swagger';
import type { FastifyReply } from 'fastify';
import { Allow, CallerOf, Open, type Caller } from '../platform/access.js';
import { apiPrefix, STORE } from '../platform/options.js';
import { invalidField, notFound, Refusal } from '../platform/refusal.js';
import { Reader } from '../platform/resource/reader.js';
import { IdPipe } from '../platform/validation.js';
import { calendarText } from './calendarText.js';
import { calendarFeeds } from './definitions.js';

@ApiTags('routes')
@Controller()
export class CalendarsController {
  constructor(
    @Inject(STORE) private readonly store: Store,
    @Inject(Reader) private readonly reader: Reader,
  ) {}

  @Post('calendar-feeds')
  @Allow('write', 'calendar-feeds')
  @ApiOperation({ summary: "Make a secret address for a technician's calendar; it is told this once", operationId: 'createCalendarFeed' })
  @ApiResponse({ status: 201, standardSchema: calendarFeedMade })
  async create(@CallerOf() caller: Caller, @Body({ schema: calendarFeedCreate }) { technicianId }: { technicianId: string }): Promise<CalendarFeedMade> {
    if (caller.role === 'technician' && technicianId !== caller.accountId) throw new Refusal('forbidden', "A technician makes an address for the technician's own calendar alone.");
    const made = await this.store.withCompanySql(caller.context, (client) => createCalendarFeed(client, caller.context, technicianId));
    if (made === null) throw invalidField('technicianId', 'there is no such technician here');
    const row = await this.reader.one(calendarFeeds, caller, made.id);
    return { ...(row as Omit<CalendarFeedMade, 'path'>), path: `/${apiPrefix}/calendars/${made.token}` };
  }

  @Delete('calendar-feeds/:id')
  @HttpCode(204)
  @Allow('write', 'calendar-feeds')
  @ApiOperation({ summary: 'Revoke a calendar address; it opens nothing from then on', operationId: 'revokeCalendarFeed' })
  @ApiResponse({ status: 204 })
  async revoke(@CallerOf() caller: Caller, @Param('id', IdPipe) id: string): Promise<void> {
    await this.reader.one(calendarFeeds, caller, id);
    const done = await this.store.withCompanySql(caller.context, (client) => revokeCalendarFeed(client, caller.context, id));
    if (!done) throw new Refusal('conflict', 'This address is revoked already.');
  }

  /** Whoever holds the address reads it: calendar programs cannot sign in. Strangers' rate limit applies. */
  @Get('calendars/:token')
  @Open()
  @ApiOperation({ summary: 'Published visits as a calendar (RFC 5545)', operationId: 'getCalendar' })
  @ApiProduces('text/calendar')
  @ApiResponse({ status: 200, schema: { type: 'string' } })
  async calendar(@Param('token') token: string, @Res({ passthrough: true }) reply: FastifyReply): Promise<string> {
    const feed = /^[\w-]{43}(\.ics)?$/.test(token) ? await readCalendarFeed(this.store, token.slice(0, 43)) : null;
    if (feed === null) throw notFound('calendar');
    reply.header('content-type', 'text/calendar; charset=utf-8').header('cache-control', 'private, no-store').header('x-robots-tag', 'noindex');
    return calendarText(feed.technician, feed.visits);
  }
}
