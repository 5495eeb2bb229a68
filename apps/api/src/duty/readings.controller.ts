import {
  overruleGiven, reading, readingBatch, readingsTaken, type OverruleGiven, type ReadingBatch, type ReadingsTaken,
} from '@lintel/contract';
import { ingestReadings, writeLedger, type CompanyDb, type Store } from '@lintel/store';
import { Body, Controller, Delete, Get, HttpCode, Inject, Param, Post, Put } from '@nestjs/common';
import { ApiOperation, ApiResponse, ApiTags } from '@nestjs/swagger';
import { reprojectDoor } from '../fleet/reproject.js';
import { Allow, CallerOf, type Caller } from '../platform/access.js';
import { STORE } from '../platform/options.js';
import type { Row } from '../platform/resource/definition.js';
import { Reader } from '../platform/resource/reader.js';
import { Writer } from '../platform/resource/writer.js';
import { notFound } from '../platform/refusal.js';
import { IdPipe } from '../platform/validation.js';
import { readings } from './readings.js';

@ApiTags('duty')
@Controller('readings')
export class ReadingsController {
  constructor(
    @Inject(STORE) private readonly store: Store,
    @Inject(Reader) private readonly reader: Reader,
    @Inject(Writer) private readonly writer: Writer,
  ) {}

  @Post()
  @HttpCode(200)
  @Allow('write', 'readings')
  @ApiOperation({ summary: 'Take readings in; what is known already changes nothing', operationId: 'postReadings' })
  @ApiResponse({ status: 200, standardSchema: readingsTaken })
  take(@CallerOf() { context }: Caller, @Body({ schema: readingBatch }) batch: ReadingBatch): Promise<ReadingsTaken> {
    const options = { source: batch.source ?? 'post', now: Date.now() } as const;
    return this.store.withCompanySql(context, (client) => ingestReadings(client, context, batch.readings, options));
  }

  @Get(':id')
  @Allow('read', 'readings')
  @ApiOperation({ summary: 'One reading', operationId: 'getReading' })
  @ApiResponse({ status: 200, standardSchema: reading })
  one(@CallerOf() caller: Caller, @Param('id', IdPipe) id: string): Promise<Row> {
    return this.reader.one(readings, caller, id);
  }

  @Put(':id/overrule')
  @Allow('write', 'overrules')
  @ApiOperation({ summary: 'Overrule the verdict of a reading', operationId: 'overruleReading' })
  @ApiResponse({ status: 200, standardSchema: reading })
  async overrule(
    @CallerOf() caller: Caller,
    @Param('id', IdPipe) readingId: string,
    @Body({ schema: overruleGiven }) given: OverruleGiven,
  ): Promise<Row> {
    const { context, accountId } = caller;
    await this.onDoorOf(caller, readingId, 'reading-overruled', { ...given }, async (db, doorId) => {
      const word = { use: given.use, note: given.note, accountId, at: new Date() };
      const key = { companyId: context.companyId, readingId };
      await db.readingOverrule.upsert({
        where: { companyId_readingId: key },
        create: { ...key, doorId, ...word },
        update: word,
      });
    });
    return this.reader.one(readings, caller, readingId);
  }

  @Delete(':id/overrule')
  @HttpCode(204)
  @Allow('write', 'overrules')
  @ApiOperation({ summary: 'Take the overruling of a verdict back', operationId: 'takeOverruleBack' })
  @ApiResponse({ status: 204 })
  async takeBack(@CallerOf() caller: Caller, @Param('id', IdPipe) readingId: string): Promise<void> {
    await this.onDoorOf(caller, readingId, 'reading-overruling-taken-back', {}, async (db) => {
      const { count } = await db.readingOverrule.deleteMany({ where: { readingId } });
      if (count === 0) throw notFound('overruling');
    });
  }

  /** A planner's word on a reading: noted in the ledger, and the door is projected anew. */
  private onDoorOf(
    { context }: Caller,
    readingId: string,
    action: string,
    detail: Row,
    work: (db: CompanyDb, doorId: string) => Promise<void>,
  ): Promise<void> {
    return this.writer.inCompany(context, async (db) => {
      const found = await db.reading.findFirst({ where: { id: readingId }, select: { doorId: true } });
      if (found === null) throw notFound('reading');
      await work(db, found.doorId);
      await writeLedger(db, context, { action, subjectKind: 'reading', subjectId: readingId, detail: { ...detail, doorId: found.doorId } });
      await reprojectDoor(db, context, found.doorId);
    });
  }
}
