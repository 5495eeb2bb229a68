import 'reflect-metadata';
import { randomUUID } from 'node:crypto';
import { NestFactory } from '@nestjs/core';
import { FastifyAdapter, type NestFastifyApplication } from '@nestjs/platform-fastify';
import { LogController, type FastifyInstance } from 'fastify';
import { AppModule } from './app.module.js';
import { earlyRefusals } from './platform/earlyRefusals.js';
import { limitBodies } from './platform/bodies.js';
import { KnownRoutes } from './platform/knownRoutes.js';
import { logRequests, makeLog } from './platform/logging.js';
import { Metrics } from './platform/metrics.js';
import { OpenApiText } from './platform/openApi.js';
import { apiPrefix, type ApiOptions } from './platform/options.js';
import { secure } from './platform/security.js';
import { servePublicCertificates } from './safety/publicCertificates.js';
import { servePages } from './platform/pages.js';
import { validationPipe } from './platform/validation.js';

/** Largest JSON body: a full batch of readings. CSV files are streamed and have a bound of their own. */
const bodyLimitBytes = 2 * 1024 * 1024;

/** The API, ready to listen or to be asked in-process. Whoever makes it closes it; the store stays the caller's. */
export async function createApi(options: ApiOptions): Promise<NestFastifyApplication> {
  const log = makeLog(options);
  const adapter = new FastifyAdapter({
    loggerInstance: log.server,
    logController: new LogController({ disableRequestLogging: true }),
    genReqId: () => randomUUID(),
    trustProxy: options.trustProxy ?? false,
    bodyLimit: bodyLimitBytes,
    requestTimeout: 600_000,
    ...earlyRefusals,
  });
  const app = await NestFactory.create<NestFastifyApplication>(AppModule.with(options), adapter, { logger: log.nest, bodyParser: false });
  app.setGlobalPrefix(apiPrefix, { exclude: ['health', 'ready', 'metrics'] });
  app.useGlobalPipes(validationPipe());
  const server = adapter.getInstance<FastifyInstance>();
  app.get(KnownRoutes).watch(server);
  app.get(Metrics).watch(server);
  logRequests(server);
  limitBodies(server);
  await secure(app, options);
  servePublicCertificates(server, options);
  app.get(OpenApiText).make(app, options.secureCookies ?? false);
  await servePages(server, [
    ...(options.adminFolder === null ? [] : [{ at: '', folder: options.adminFolder }]),
    ...(options.tabletFolder == null ? [] : [{ at: '/tablet', folder: options.tabletFolder }]),
  ]);
  await app.init();
  await server.ready();
  return app;
}
