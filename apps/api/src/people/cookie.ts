import type { FastifyReply } from 'fastify';
import '@fastify/cookie';
import { longestMs } from './sessions.js';

/** Over https the name itself makes the browser insist on Secure, this host and path `/` (RFC 6265bis, 4.1.3.2). */
export const cookieName = (secure: boolean): string => (secure ? '__Host-lintel_session' : 'lintel_session');

const attributes = (secure: boolean) => ({ path: '/', httpOnly: true, sameSite: 'strict', secure }) as const;

export function setSessionCookie(reply: FastifyReply, token: string, secure: boolean): void {
  reply.setCookie(cookieName(secure), token, { ...attributes(secure), maxAge: longestMs / 1000 });
}

export function clearSessionCookie(reply: FastifyReply, secure: boolean): void {
  reply.clearCookie(cookieName(secure), attributes(secure));
}
