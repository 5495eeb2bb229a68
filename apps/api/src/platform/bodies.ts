import type { FastifyInstance } from 'fastify';
import { apiPrefix } from './options.js';
import { Refusal } from './refusal.js';

const uploadRoute = `/${apiPrefix}/imports`;

/**
 * What bodies may be: JSON, and a CSV file where one is uploaded. That comes as a stream which the handler reads piece by
 * piece, so the body limit of JSON is none of its concern. No form and no plain text: those a page of any origin may send.
 */
export function limitBodies(server: FastifyInstance): void {
  server.removeContentTypeParser('text/plain');
  server.addContentTypeParser('text/csv', (request, payload, done) => {
    if (request.routeOptions.url === uploadRoute) done(null, payload);
    else done(new Refusal('not-this-media-type', 'Here JSON is expected.'));
  });
}

export const isAsyncIterable = (body: unknown): body is AsyncIterable<Buffer> =>
  typeof body === 'object' && body !== null && Symbol.asyncIterator in body;
