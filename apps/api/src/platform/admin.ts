import { existsSync } from 'node:fs';
import { join } from 'node:path';
import fastifyStatic from '@fastify/static';
import type { FastifyInstance, FastifyReply, FastifyRequest } from 'fastify';
import { sendProblem } from './problemFilter.js';
import { Refusal } from './refusal.js';
import { apiPrefix } from './options.js';

const yearSeconds = 31_536_000;

/**
 * Serves the built admin at `/`. Its hashed files may be kept for a year, the page itself is asked for anew each time; an
 * address without a file is a place inside the admin and gets the page.
 */
export async function serveAdmin(server: FastifyInstance, folder: string): Promise<void> {
  if (!existsSync(join(folder, 'index.html'))) throw new Error(`the admin is not built: there is no index.html in ${folder}`);
  await server.register(fastifyStatic, {
    root: folder,
    serve: false,
    cacheControl: false,
    setHeaders(reply, path) {
      const hashed = /[\\/]assets[\\/]/.test(path);
      reply.header('cache-control', hashed ? `public, max-age=${yearSeconds}, immutable` : 'no-cache');
    },
  });
  server.get('/*', async (request, reply) => servePage(request, reply, folder));
}

function servePage(request: FastifyRequest, reply: FastifyReply, folder: string): FastifyReply {
  const path = decodedPath(request);
  if (path === `/${apiPrefix}` || path.startsWith('/api/')) {
    sendProblem(reply, request, new Refusal('not-found', `There is nothing at ${path.slice(0, 200)}.`));
    return reply;
  }
  const isFile = /\.[A-Za-z0-9]{1,12}$/.test(path);
  if (!isFile) return reply.sendFile('index.html', folder);
  if (existsSync(join(folder, path))) return reply.sendFile(path, folder);
  sendProblem(reply, request, new Refusal('not-found', `There is nothing at ${path.slice(0, 200)}.`));
  return reply;
}

function decodedPath(request: FastifyRequest): string {
  const path = request.url.split('?', 1)[0] ?? '/';
  try {
    // What a path climbs out of, `send` refuses as well; here it must not even be asked whether such a file exists.
    return decodeURIComponent(path).split('/').filter((part) => part !== '..').join('/');
  } catch {
    return '/';
  }
}
