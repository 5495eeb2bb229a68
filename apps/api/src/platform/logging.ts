import type { FastifyBaseLogger, FastifyInstance } from 'fastify';
import { Logger, PinoLogger } from 'nestjs-pino';
import { pino } from 'pino';
import type { ApiOptions } from './options.js';

/** Structured lines on standard output. Neither bodies nor headers are logged, so no password and no cookie is. */
export function makeLog({ logLevel: level = 'info', logTo }: ApiOptions): { server: FastifyBaseLogger; nest: Logger } {
  const serializers = { req: (request: { method: string; url: string }) => ({ method: request.method, url: pathOf(request.url) }) };
  const log = logTo === undefined ? pino({ level, serializers }) : pino({ level, serializers }, logTo);
  // Nest announces every route at its start; what goes wrong is enough.
  const quiet = log.child({}, { level: level === 'info' ? 'warn' : level });
  return { server: log, nest: new Logger(new PinoLogger({ pinoHttp: { logger: quiet } }), {}) };
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
