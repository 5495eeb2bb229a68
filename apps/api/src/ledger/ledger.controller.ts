import { jobAsked, ledgerAnchors, ledgerState, type JobAsked, type LedgerAnchors, type LedgerState } from '@lintel/contract';
import { enqueue, ledgerAnchor, ledgerState as stateOf, writeLedger, type Store } from '@lintel/store';
import { Controller, Get, Header, HttpCode, Inject, Post, Res } from '@nestjs/common';
import { ApiOperation, ApiResponse, ApiTags } from '@nestjs/swagger';
import type { FastifyReply } from 'fastify';
import { Allow, CallerOf, type Caller } from '../platform/access.js';
import { apiPrefix, STORE } from '../platform/options.js';
import { Writer } from '../platform/resource/writer.js';

@ApiTags('ledger')
@Controller('ledger')
export class LedgerController {
  constructor(
    @Inject(STORE) private readonly store: Store,
    @Inject(Writer) private readonly writer: Writer,
  ) {}

  @Get('chain')
  @Allow('read', 'ledger')
  @ApiOperation({ summary: 'Where the chain of entries ends, and what its last check found', operationId: 'getLedgerChain' })
  @ApiResponse({ status: 200, standardSchema: ledgerState })
  chain(@CallerOf() { context }: Caller): Promise<LedgerState> {
    return this.store.withCompanySql(context, stateOf);
  }

  @Get('anchor')
  @Header('content-disposition', 'attachment; filename="ledger-anchor.json"')
  @Allow('read', 'ledger')
  @ApiOperation({
    summary: 'The last entry\'s place and hash: kept elsewhere, it proves later that nothing up to there was changed', operationId: 'getLedgerAnchor',
  })
  @ApiResponse({ status: 200, standardSchema: ledgerAnchors })
  async anchor(@CallerOf() { context }: Caller): Promise<LedgerAnchors> {
    const anchor = await this.store.withCompanySql(context, ledgerAnchor);
    return { anchors: anchor === null ? [] : [anchor] };
  }

  @Post('checks')
  @HttpCode(202)
  @Allow('write', 'ledger')
  @ApiOperation({ summary: 'Check all entries now; the nightly check does the same', operationId: 'checkLedger' })
  @ApiResponse({ status: 202, standardSchema: jobAsked })
  async check(@CallerOf() { context }: Caller, @Res({ passthrough: true }) reply: FastifyReply): Promise<JobAsked> {
    const jobId = await this.writer.inCompany(context, async (db) => {
      const asked = await enqueue(db, context, 'check-ledger', {});
      await writeLedger(db, context, { action: 'ledger-check-asked', subjectKind: 'job', subjectId: asked });
      return asked;
    });
    reply.header('location', `/${apiPrefix}/jobs/${jobId}`);
    return { jobId };
  }
}
