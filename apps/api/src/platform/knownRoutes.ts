import { Injectable } from '@nestjs/common';
import type { FastifyInstance } from 'fastify';

interface KnownRoute {
  path: string;
  pattern: RegExp;
  methods: Set<string>;
}

/** All routes, so that a wrong method is told from a wrong path, and so that a test can try them all. */
@Injectable()
export class KnownRoutes {
  private readonly routes = new Map<string, KnownRoute>();

  watch(server: FastifyInstance): void {
    server.addHook('onRoute', ({ url, method }) => {
      // The pages' catch-all answers any GET: it would turn every wrong path into a wrong method.
      if (url.includes('*')) return;
      const route = this.routes.get(url) ?? { path: url, pattern: patternOf(url), methods: new Set<string>() };
      for (const one of Array.isArray(method) ? method : [method]) route.methods.add(one);
      this.routes.set(url, route);
    });
  }

  methodsAt(path: string): string[] {
    const methods = new Set<string>();
    for (const route of this.routes.values()) {
      if (route.pattern.test(path)) for (const method of route.methods) methods.add(method);
    }
    return [...methods].sort();
  }

  all(): { path: string; method: string }[] {
    return [...this.routes.values()].flatMap(({ path, methods }) => [...methods].map((method) => ({ path, method })));
  }
}

function patternOf(url: string): RegExp {
  const escaped = url.split('/').map((part) => (part.startsWith(':') ? '[^/]+' : part.replace(/[.+?^${}()|[\]\\]/g, '\\$&')));
  return new RegExp(`^${escaped.join('/')}$`);
}
