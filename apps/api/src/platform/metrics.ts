import { Inject, Injectable, type OnModuleDestroy } from '@nestjs/common';
import type { Store } from '@lintel/store';
import type { FastifyInstance } from 'fastify';
import { collectDefaultMetrics, Gauge, Histogram, Registry } from 'prom-client';
import { STORE } from './options.js';

/** Figures of this process; a registry of its own, so that several APIs in one process do not clash. */
@Injectable()
export class Metrics implements OnModuleDestroy {
  private readonly registry = new Registry();
  private readonly requests = new Histogram({
    name: 'lintel_http_request_seconds',
    help: 'Requests by method, route and status',
    labelNames: ['method', 'route', 'status'],
    buckets: [0.002, 0.005, 0.01, 0.025, 0.05, 0.1, 0.25, 0.5, 1, 2.5, 10],
    registers: [this.registry],
  });

  constructor(@Inject(STORE) store: Store) {
    collectDefaultMetrics({ register: this.registry, prefix: 'lintel_' });
    const connections = new Gauge({
      name: 'lintel_database_connections',
      help: 'Connections to the database by what they do; waiting: requests for one',
      labelNames: ['state'],
      registers: [this.registry],
      collect() {
        const { totalCount, idleCount, waitingCount } = store.pool;
        connections.set({ state: 'busy' }, totalCount - idleCount);
        connections.set({ state: 'idle' }, idleCount);
        connections.set({ state: 'waiting' }, waitingCount);
      },
    });
  }

  watch(server: FastifyInstance): void {
    server.addHook('onResponse', (request, reply, done) => {
      // The pattern of the route and not the address: bounded in number, and without anybody's ids.
      const route = request.routeOptions.url ?? 'none';
      const status = String(reply.statusCode);
      this.requests.observe({ method: request.method, route, status }, reply.elapsedTime / 1000);
      done();
    });
  }

  text(): Promise<string> {
    return this.registry.metrics();
  }

  onModuleDestroy(): void {
    this.registry.clear();
  }
}
