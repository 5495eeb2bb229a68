import { randomUUID } from 'node:crypto';
import { STATUS_CODES } from 'node:http';
import type { Socket } from 'node:net';
import type { FastifyError, FastifyReply, FastifyRequest } from 'fastify';
import { problemOf, refusalOfStatus, sendProblem } from './problemFilter.js';
import { Refusal } from './refusal.js';

/** What is refused before there is a route: an address that cannot be read, and what is no HTTP at all. */
export const earlyRefusals = {
  frameworkErrors(error: FastifyError, request: FastifyRequest, reply: FastifyReply): void {
    reply.header('x-request-id', request.id);
    sendProblem(reply, request, refusalOfStatus(error));
  },
  clientErrorHandler(error: NodeJS.ErrnoException, socket: Socket): void {
    if (error.code === 'ECONNRESET' || !socket.writable) return;
    const refusal = error.code === 'HPE_HEADER_OVERFLOW'
      ? new Refusal('headers-too-large', 'The headers are larger than 16 KiB.')
      : new Refusal('bad-request', 'This is not HTTP/1.1.');
    const body = JSON.stringify(problemOf(refusal, randomUUID()));
    const head = `HTTP/1.1 ${refusal.status} ${STATUS_CODES[refusal.status]}\r\nContent-Type: application/problem+json; charset=utf-8`;
    socket.end(`${head}\r\nContent-Length: ${Buffer.byteLength(body)}\r\nConnection: close\r\n\r\n${body}`);
  },
};
