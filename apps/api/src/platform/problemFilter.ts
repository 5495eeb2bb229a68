import { problemKinds, problemTypePrefix, type Problem, type ProblemCode } from '@lintel/contract';
import { Catch, HttpException, Inject, type ArgumentsHost, type ExceptionFilter } from '@nestjs/common';
import type { FastifyReply, FastifyRequest } from 'fastify';
import { Refusal } from './refusal.js';
import { KnownRoutes } from './knownRoutes.js';

const codeOfStatus: Record<number, ProblemCode> = {
  401: 'not-signed-in',
  403: 'forbidden',
  404: 'not-found',
  405: 'method-not-allowed',
  409: 'conflict',
  413: 'too-large',
  414: 'address-too-long',
  415: 'not-this-media-type',
  429: 'too-many-requests',
  431: 'headers-too-large',
  503: 'not-ready',
};

/** Every refusal and every failure leaves as RFC 9457 problem details with the request's id; a failure is logged whole. */
@Catch()
export class ProblemFilter implements ExceptionFilter {
  constructor(@Inject(KnownRoutes) private readonly routes: KnownRoutes) {}

  catch(thrown: unknown, host: ArgumentsHost): void {
    const http = host.switchToHttp();
    const request = http.getRequest<FastifyRequest>();
    const reply = http.getResponse<FastifyReply>();
    const refusal = this.refusalOf(thrown, request);
    if (refusal.status >= 500) request.log.error({ err: thrown }, 'request failed');
    else request.log.debug({ code: refusal.code, detail: refusal.detail }, 'request refused');
    if (reply.sent) return;
    sendProblem(reply, request, refusal);
  }

  private refusalOf(thrown: unknown, request: FastifyRequest): Refusal {
    if (thrown instanceof Refusal) return thrown;
    if (statusOf(thrown) === 404) return this.unrouted(request);
    if (statusOf(thrown) === 403 && thrown instanceof HttpException) {
      // The only thing that throws Nest's own: its check against requests forged from other origins.
      return new Refusal('other-origin', 'Only pages of this very address may change anything here.');
    }
    return refusalOfStatus(thrown);
  }

  /** No route: either none at this path, or none for this method. */
  private unrouted(request: FastifyRequest): Refusal {
    const path = request.url.split('?', 1)[0] ?? '';
    const methods = this.routes.methodsAt(path);
    if (methods.length === 0) return new Refusal('not-found', `There is nothing at ${path.slice(0, 200)}.`);
    return new Refusal('method-not-allowed', `Here goes ${methods.join(', ')}.`, { allow: methods });
  }
}

/** What the server itself threw, by its status. */
export function refusalOfStatus(thrown: unknown): Refusal {
  const status = statusOf(thrown);
  const code = codeOfStatus[status] ?? (status < 500 ? 'bad-request' : 'internal-error');
  return new Refusal(code, status < 500 ? messageOf(thrown) : 'It was written to the log under this request id.');
}

/** The body of a problem. */
export function problemOf(refusal: Refusal, requestId: string): Problem {
  const { errors, current, refusal: reason } = refusal.parts;
  return {
    type: problemTypePrefix + refusal.code,
    title: problemKinds[refusal.code].title,
    status: refusal.status,
    detail: refusal.detail,
    ...(errors && { errors }),
    ...(current && { current }),
    ...(reason && { refusal: reason }),
    requestId,
  };
}

export function sendProblem(reply: FastifyReply, request: FastifyRequest, refusal: Refusal): void {
  const { retryAfterSeconds, allow } = refusal.parts;
  if (retryAfterSeconds !== undefined) reply.header('retry-after', String(Math.ceil(retryAfterSeconds)));
  if (allow !== undefined) reply.header('allow', allow.join(', '));
  reply.status(refusal.status).header('content-type', 'application/problem+json; charset=utf-8').send(JSON.stringify(problemOf(refusal, request.id)));
}

function statusOf(thrown: unknown): number {
  if (thrown instanceof HttpException) return thrown.getStatus();
  const status = (thrown as { statusCode?: unknown } | null)?.statusCode;
  return typeof status === 'number' && status >= 400 && status < 600 ? status : 500;
}

function messageOf(thrown: unknown): string {
  const message = thrown instanceof Error ? thrown.message : '';
  return message.slice(0, 300) || 'The request is not valid.';
}
