import { imageUpload, workImage, type ImageUpload } from '@lintel/contract';
import { readImage, storeImage, type Store } from '@lintel/store';
import { Controller, Get, Inject, Param, Post, Query, Req, Res, StreamableFile } from '@nestjs/common';
import { ApiBody, ApiConsumes, ApiOperation, ApiResponse, ApiTags } from '@nestjs/swagger';
import type { FastifyReply, FastifyRequest } from 'fastify';
import { Allow, CallerOf, type Caller } from '../platform/access.js';
import { STORE } from '../platform/options.js';
import { notFound, Refusal } from '../platform/refusal.js';
import { Reader } from '../platform/resource/reader.js';
import { IdPipe } from '../platform/validation.js';
import { workRefusal } from './refusals.js';
import { columnsOf } from './wholeOrders.js';

const ONE = `SELECT ${columnsOf(workImage)} FROM work_image_list WHERE id = $1`;

@ApiTags('work')
@Controller('work-images')
export class WorkImagesController {
  constructor(
    @Inject(STORE) private readonly store: Store,
    @Inject(Reader) private readonly reader: Reader,
  ) {}

  @Post()
  @Allow('write', 'work-images')
  @ApiConsumes('image/jpeg', 'image/png', 'image/webp')
  @ApiBody({ schema: { type: 'string', format: 'binary' } })
  @ApiOperation({ summary: 'Send an image of an order or a door; the same again changes nothing', operationId: 'createWorkImage' })
  @ApiResponse({ status: 201, standardSchema: workImage })
  async add(@CallerOf() caller: Caller, @Query({ schema: imageUpload }) given: ImageUpload, @Req() request: FastifyRequest): Promise<object> {
    if (!Buffer.isBuffer(request.body)) throw new Refusal('not-this-media-type', 'An image is sent as the body: image/jpeg, image/png or image/webp.');
    const { context, accountId } = caller;
    const stored = await storeImage(this.store, { ...context, accountId }, given, request.body);
    if ('refused' in stored) throw workRefusal(stored);
    const rows = await this.store.withCompanySql(context, (client) => this.reader.rows(client, { text: ONE, values: [stored.id] }));
    return rows[0]!;
  }

  @Get(':id')
  @Allow('read', 'work-images')
  @ApiOperation({ summary: 'The image itself', operationId: 'getWorkImage' })
  @ApiResponse({ status: 200, content: { 'image/*': { schema: { type: 'string', format: 'binary' } } } })
  async one(@CallerOf() { context }: Caller, @Param('id', IdPipe) id: string, @Res({ passthrough: true }) reply: FastifyReply): Promise<StreamableFile> {
    const found = await readImage(this.store, context, id);
    if (found === null) throw notFound('image');
    // It never changes: who has it may keep it, but nobody between.
    reply.header('cache-control', 'private, max-age=31536000, immutable').header('etag', `"${found.sha256}"`);
    return new StreamableFile(found.image, { type: found.mediaType, length: found.image.length, disposition: 'inline' });
  }
}
