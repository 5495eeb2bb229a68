import { connectionsFrom } from '@lintel/store';
import { pino } from 'pino';
import { z } from 'zod';
import { startWorker } from './worker.js';

const environment = z.object({
  REDIS_URL: z.url().optional(),
  REDIS_PREFIX: z.string().min(1).optional(),
  WORKER_CONCURRENCY: z.coerce.number().int().min(1).max(64).default(2),
  LOG_LEVEL: z.string().default('info'),
});

/** A worker of its own, from the environment: one of any number beside a served database. */
const parsed = environment.safeParse(process.env);
if (!parsed.success) {
  const [issue] = parsed.error.issues;
  process.stderr.write(`${issue?.path.join('.')}: ${issue?.message}\n`);
  process.exit(2);
}
const { REDIS_URL, REDIS_PREFIX, WORKER_CONCURRENCY, LOG_LEVEL } = parsed.data;
const { appUrl, relayUrl } = connectionsFrom(process.env);
const log = pino({ level: LOG_LEVEL });
const worker = await startWorker({ appUrl, relayUrl, redisUrl: REDIS_URL, redisPrefix: REDIS_PREFIX, concurrency: WORKER_CONCURRENCY, log });
let closing = false;
const close = (): void => {
  if (closing) return;
  closing = true;
  void worker.close().then(() => process.exit(0));
};
for (const signal of ['SIGINT', 'SIGTERM'] as const) process.on(signal, close);
// Started by `lintel serve`: the channel closes when that ends, also when it is killed.
process.on('disconnect', close);
