import type { FastifyInstance } from 'fastify';

/** A CSV file comes as a stream: the handler reads it piece by piece, so the body limit of JSON is none of its concern. */
export function acceptCsv(server: FastifyInstance): void {
  server.addContentTypeParser('text/csv', (_request, payload, done) => done(null, payload));
}

export const isAsyncIterable = (body: unknown): body is AsyncIterable<Buffer> =>
  typeof body === 'object' && body !== null && Symbol.asyncIterator in body;
