import { imageType, mostImageBytes } from '@lintel/contract';
import type { FastifyInstance, FastifyRequest } from 'fastify';
import { apiPrefix } from './options.js';
import { Refusal } from './refusal.js';

const uploadRoute = `/${apiPrefix}/imports`;
const imageRoute = `/${apiPrefix}/work-images`;

/**
 * What bodies may be: JSON, a CSV file where one is uploaded, and an image where one is taken. A file comes as a stream which the
 * handler reads piece by piece, so the body limit of JSON is none of its concern; an image has its own. No form and no plain text: those a page of any origin may send.
 */
export function limitBodies(server: FastifyInstance): void {
  server.removeContentTypeParser('text/plain');
  server.addContentTypeParser('text/csv', (request, payload, done) => {
    if (request.routeOptions.url === uploadRoute) done(null, payload);
    else done(new Refusal('not-this-media-type', 'Here JSON is expected.'));
  });
  server.addContentTypeParser(imageType.options, async (request: FastifyRequest, payload: AsyncIterable<Buffer>) => {
    if (request.routeOptions.url !== imageRoute) throw new Refusal('not-this-media-type', 'Here JSON is expected.');
    return imageBody(Number(request.headers['content-length'] ?? 0), payload);
  });
}

/** What is sent beyond the bound is not kept; the server reads past it, so that the sender gets to see the refusal. */
async function imageBody(told: number, payload: AsyncIterable<Buffer>): Promise<Buffer> {
  const tooLarge = (): Refusal => new Refusal('too-large', `An image is ${mostImageBytes / 2 ** 20} MB at most: scale it down first.`);
  if (told > mostImageBytes) throw tooLarge();
  const pieces: Buffer[] = [];
  let bytes = 0;
  for await (const piece of payload) {
    bytes += piece.length;
    if (bytes > mostImageBytes) throw tooLarge();
    pieces.push(piece);
  }
  return Buffer.concat(pieces);
}

export const isAsyncIterable = (body: unknown): body is AsyncIterable<Buffer> =>
  typeof body === 'object' && body !== null && Symbol.asyncIterator in body;
