import type { FastifyInstance } from 'fastify';
import type { LoggerOptions } from 'pino';

/** Structured lines on standard output. Neither bodies nor headers are logged, so no password and no cookie is. */
export function loggerOptions(level: string): LoggerOptions {
  return {
    level,
    serializers: { req: (request: { method: string; url: string }) => ({ method: request.method, url: pathOf(request.url) }) },
  };
}

/** One line a request, when it has been answered; the answer names the id that the log has. */
export function logRequests(server: FastifyInstance): void {
  server.addHook('onRequest', (request, reply, done) => {
    reply.header('x-request-id', request.id);
    done();
  });
  server.addHook('onResponse', (request, reply, done) => {
    const line = { method: request.method, path: pathOf(request.url), status: reply.statusCode, ms: Math.round(reply.elapsedTime) };
    request.log.info(line, 'answered');
    done();
  });
}

/** Without the query: what people search for is theirs. */
const pathOf = (url: string): string => url.split('?', 1)[0] ?? '';
