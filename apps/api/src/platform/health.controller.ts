import type { Store } from '@lintel/store';
import { Controller, Get, Header, Inject, Req } from '@nestjs/common';
import { ApiOperation, ApiResponse, ApiTags } from '@nestjs/swagger';
import { timingSafeEqual } from 'node:crypto';
import type { FastifyRequest } from 'fastify';
import { Open } from './access.js';
import { Metrics } from './metrics.js';
import { API_OPTIONS, STORE, type ApiOptions } from './options.js';
import { Refusal } from './refusal.js';

const loopback = new Set(['127.0.0.1', '::1', '::ffff:127.0.0.1']);

@ApiTags('platform')
@Controller()
export class HealthController {
  constructor(
    @Inject(STORE) private readonly store: Store,
    @Inject(API_OPTIONS) private readonly options: ApiOptions,
    @Inject(Metrics) private readonly metrics: Metrics,
  ) {}

  @Get('health')
  @Open()
  @ApiOperation({ summary: 'The process runs', operationId: 'health' })
  @ApiResponse({ status: 200, schema: statusSchema('up') })
  health(): { status: 'up' } {
    return { status: 'up' };
  }

  @Get('ready')
  @Open()
  @ApiOperation({ summary: 'The database answers', operationId: 'ready' })
  @ApiResponse({ status: 200, schema: statusSchema('ready') })
  async ready(): Promise<{ status: 'ready' }> {
    try {
      await this.store.pool.query('SELECT 1');
    } catch {
      throw new Refusal('not-ready', 'The database does not answer.');
    }
    return { status: 'ready' };
  }

  @Get('metrics')
  @Open()
  @Header('content-type', 'text/plain; version=0.0.4; charset=utf-8')
  @ApiOperation({ summary: 'Figures in Prometheus text form: to the machine itself, or with the token', operationId: 'metrics' })
  @ApiResponse({ status: 200, content: { 'text/plain': { schema: { type: 'string' } } } })
  figures(@Req() request: FastifyRequest): Promise<string> {
    if (!this.mayMeasure(request)) throw new Refusal('not-signed-in', 'Figures are for the machine itself, or with a token.');
    return this.metrics.text();
  }

  private mayMeasure(request: FastifyRequest): boolean {
    const { metricsToken } = this.options;
    if (!metricsToken) return loopback.has(request.ip);
    const given = Buffer.from(request.headers.authorization ?? '');
    const wanted = Buffer.from(`Bearer ${metricsToken}`);
    return given.length === wanted.length && timingSafeEqual(given, wanted);
  }
}

function statusSchema(status: string) {
  return { type: 'object', required: ['status'], properties: { status: { type: 'string', enum: [status] } } };
}
