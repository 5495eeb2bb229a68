import { readCertificateNumber, type CertificateState, type PublicCertificate, type SealedCertificate } from '@lintel/contract';
import type { CertificateContent } from '@lintel/engine';
import type { OpenAPIObject } from '@nestjs/swagger';
import type { FastifyInstance, FastifyReply, FastifyRequest } from 'fastify';
import { RateLimiterMemory } from 'rate-limiter-flexible';
import type { ApiOptions } from '../platform/options.js';
import { sendProblem } from '../platform/problemFilter.js';
import { tooMany } from '../platform/rateLimits.js';
import { Refusal } from '../platform/refusal.js';
import { certificatePage, PAGE_POLICY } from './certificatePage.js';

const usualPerMinute = 60;

/** Where anybody can look a certificate up. */
export function publicAddressOf({ publicUrl }: Pick<ApiOptions, 'publicUrl'>, request: FastifyRequest, number: string): string {
  const base = publicUrl ?? `${request.protocol}://${request.host}`;
  return `${base.replace(/\/+$/, '')}/certificates/${number}`;
}

/**
 * `GET /certificates/:number`: is a certificate valid, and what does it say? For whoever holds the paper, without signing in; as a
 * page, or as JSON where that is asked for (by Accept, or by `.json` behind the number). An unknown number, a badly typed one and
 * another company's look the same; finding one takes 80 random bits.
 */
export function servePublicCertificates(server: FastifyInstance, options: ApiOptions): void {
  const points = options.certificateLookupsPerMinute === undefined ? usualPerMinute : options.certificateLookupsPerMinute;
  const limits = points === null ? null : new RateLimiterMemory({ points, duration: 60 });
  server.get<{ Params: { number: string } }>('/certificates/:number', async (request, reply) => {
    void reply.headers({
      'cache-control': 'no-store', 'referrer-policy': 'no-referrer', 'x-robots-tag': 'noindex, nofollow', vary: 'accept',
    });
    try {
      await limits?.consume(request.ip);
    } catch (refused) {
      const refusal = tooMany(refused);
      if (!(refusal instanceof Refusal)) throw refused;
      sendProblem(reply, request, refusal);
      return reply;
    }
    return answer(reply, request, await lookUp(options, request.params.number.replace(/\.json$/, '')));
  });
}

interface GateRow {
  content: string;
  hash: string;
  signature: string;
  public_key: string;
  state: CertificateState;
  withdrawn_at: Date | null;
}

async function lookUp({ store }: ApiOptions, typed: string): Promise<PublicCertificate> {
  const number = readCertificateNumber(typed);
  const { rows } = number === null ? { rows: [] } : await store.pool.query<GateRow>('SELECT * FROM gate_certificate($1)', [number]);
  const [row] = rows;
  if (row === undefined) return { number: typed.slice(0, 40), state: 'unknown', withdrawnOn: null, sealed: null };
  const { hash, signature, public_key: publicKey } = row;
  const sealed: SealedCertificate = { content: JSON.parse(row.content) as CertificateContent, seal: { hash, algorithm: 'Ed25519', signature, publicKey } };
  return { number: sealed.content.number, state: row.state, withdrawnOn: row.withdrawn_at?.toISOString() ?? null, sealed };
}

function answer(reply: FastifyReply, request: FastifyRequest, found: PublicCertificate): FastifyReply {
  void reply.status(found.state === 'unknown' ? 404 : 200);
  if (wantsJson(request)) return reply.header('content-type', 'application/json; charset=utf-8').send(JSON.stringify(found));
  return reply
    .headers({ 'content-type': 'text/html; charset=utf-8', 'content-security-policy': PAGE_POLICY })
    .send(certificatePage(found, new Date()));
}

function wantsJson(request: FastifyRequest): boolean {
  const accept = request.headers.accept ?? '';
  return request.url.split('?', 1)[0]!.endsWith('.json') || (accept.includes('application/json') && !accept.includes('text/html'));
}

/** The route in the OpenAPI document: it is served beside the framework, at an address that fits on paper. */
export const publicCertificatesPath: NonNullable<OpenAPIObject['paths'][string]> = {
  get: {
    operationId: 'lookUpCertificate',
    summary: 'Is a certificate valid, and what does it say? For whoever holds its number',
    tags: ['safety'],
    security: [],
    parameters: [{ name: 'number', in: 'path', required: true, schema: { type: 'string' } }],
    responses: {
      200: {
        description: 'Valid, superseded or withdrawn; with status 404 and in the same form: unknown. A browser gets a page that says the same',
        content: { 'application/json': { schema: { $ref: '#/components/schemas/PublicCertificate' } } },
      },
    },
  },
};
