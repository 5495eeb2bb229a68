import { logBook, type LogBook } from '@lintel/contract';
import { doorLogBook, type Store } from '@lintel/store';
import { Controller, Get, Inject, Param, Res, StreamableFile } from '@nestjs/common';
import { ApiOperation, ApiProduces, ApiResponse, ApiTags } from '@nestjs/swagger';
import type { FastifyReply } from 'fastify';
import { Allow, CallerOf, type Caller } from '../platform/access.js';
import { STORE } from '../platform/options.js';
import { notFound } from '../platform/refusal.js';
import { IdPipe } from '../platform/validation.js';
import { logBookPaper } from './logBookPaper.js';
import { logBookSheet } from './logBookSheet.js';

@ApiTags('ledger')
@Controller('doors')
export class LogBookController {
  constructor(@Inject(STORE) private readonly store: Store) {}

  @Get(':id/log-book')
  @Allow('read', 'doors')
  @ApiOperation({ summary: 'The log book of a door: what it is and all that was done to it, oldest first', operationId: 'getLogBook' })
  @ApiResponse({ status: 200, standardSchema: logBook })
  book(@CallerOf() caller: Caller, @Param('id', IdPipe) id: string): Promise<LogBook> {
    return this.load(caller, id);
  }

  @Get(':id/log-book.csv')
  @Allow('read', 'doors')
  @ApiOperation({ summary: 'Every entry of the log book as CSV, however many there are', operationId: 'getLogBookCsv' })
  @ApiProduces('text/csv')
  @ApiResponse({ status: 200, schema: { type: 'string' } })
  async sheet(@CallerOf() caller: Caller, @Param('id', IdPipe) id: string, @Res({ passthrough: true }) reply: FastifyReply): Promise<StreamableFile> {
    const book = await this.load(caller, id, Infinity);
    return file(reply, book, 'csv', 'text/csv; charset=utf-8', Buffer.from(logBookSheet(book)));
  }

  @Get(':id/log-book.pdf')
  @Allow('read', 'doors')
  @ApiOperation({ summary: 'The log book, printed', operationId: 'getLogBookPdf' })
  @ApiProduces('application/pdf')
  @ApiResponse({ status: 200, schema: { type: 'string', format: 'binary' } })
  async paper(@CallerOf() caller: Caller, @Param('id', IdPipe) id: string, @Res({ passthrough: true }) reply: FastifyReply): Promise<StreamableFile> {
    const book = await this.load(caller, id);
    return file(reply, book, 'pdf', 'application/pdf', await logBookPaper(book, new Date()));
  }

  /**
   * An owner sees the log book of its own doors whole: with the names of those who worked on them and with the ledger's word on
   * their state, which its own scope hides. So the door is looked for in the caller's scope, the book then made in the company's.
   */
  private async load({ context }: Caller, doorId: string, most?: number): Promise<LogBook> {
    const seen = await this.store.withCompanySql(context, (client) => client.query('SELECT FROM door WHERE id = $1', [doorId]));
    const book = seen.rowCount === 0 ? null
      : await this.store.withCompanySql({ ...context, ownerId: null }, (client) => doorLogBook(client, doorId, most));
    if (book === null) throw notFound('door');
    return book;
  }
}

function file(reply: FastifyReply, { door }: LogBook, ending: string, type: string, body: Buffer): StreamableFile {
  const plain = `log-book-${door.name}`.normalize('NFKD').replaceAll(/[^\w.-]+/g, '-');
  // Named twice, RFC 6266: what is not ASCII is for those who read `filename*`.
  const named = `attachment; filename="${plain}.${ending}"; filename*=UTF-8''${encodeURIComponent(`log-book-${door.name}.${ending}`)}`;
  reply.header('content-disposition', named);
  return new StreamableFile(body, { type, disposition: named });
}
