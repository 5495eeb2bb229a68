import { existsSync } from 'node:fs';
import { join } from 'node:path';
import fastifyStatic from '@fastify/static';
import type { FastifyInstance, FastifyReply, FastifyRequest } from 'fastify';
import { sendProblem } from './problemFilter.js';
import { Refusal } from './refusal.js';
import { apiPrefix } from './options.js';

const yearSeconds = 31_536_000;

/** Built pages and where they are served: '' for the root, else a path such as `/tablet`. */
export interface BuiltPages {
  at: string;
  folder: string;
}

/**
 * Serves built pages. Their hashed files may be kept for a year, the page itself is asked for anew each time; an address
 * without a file is a place inside the pages and gets the page.
 */
export async function servePages(server: FastifyInstance, pages: readonly BuiltPages[]): Promise<void> {
  const [first] = pages;
  if (!first) return;
  for (const { at, folder } of pages) {
    if (!existsSync(join(folder, 'index.html'))) throw new Error(`the pages at '${at}/' are not built: there is no index.html in ${folder}`);
  }
  await server.register(fastifyStatic, {
    root: first.folder,
    serve: false,
    cacheControl: false,
    setHeaders(reply, path) {
      const hashed = /[\\/]assets[\\/]/.test(path);
      reply.header('cache-control', hashed ? `public, max-age=${yearSeconds}, immutable` : 'no-cache');
    },
  });
  for (const { at, folder } of pages) {
    // Without the slash a page's relative addresses, and the reach of its service worker, would begin one step too high.
    if (at !== '') server.get(at, async (_request, reply) => reply.redirect(`${at}/`));
    server.get(`${at}/*`, async (request, reply) => servePage(request, reply, { at, folder }));
  }
}

function servePage(request: FastifyRequest, reply: FastifyReply, { at, folder }: BuiltPages): FastifyReply {
  const path = decodedPath(request);
  const nothing = (): FastifyReply => {
    sendProblem(reply, request, new Refusal('not-found', `There is nothing at ${path.slice(0, 200)}.`));
    return reply;
  };
  if (path === `/${apiPrefix}` || path.startsWith('/api/')) return nothing();
  const inside = path.slice(at.length);
  const isFile = /\.[A-Za-z0-9]{1,12}$/.test(inside);
  if (!isFile) return reply.sendFile('index.html', folder);
  return existsSync(join(folder, inside)) ? reply.sendFile(inside, folder) : nothing();
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
