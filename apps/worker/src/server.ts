import { pathToFileURL } from 'node:url';
import { connectionsFrom } from '@lintel/store';
import { pino } from 'pino';
import { z } from 'zod';
import { startWorker } from './worker.js';

const settings = z.object({
  REDIS_URL: z.url().optional(),
  REDIS_PREFIX: z.string().min(1).optional(),
  TRAVEL_URL: z.url({ protocol: /^https?$/ }).optional(),
  ROUTE_THREADS: z.coerce.number().int().min(1).max(64).optional(),
  WORKER_CONCURRENCY: z.coerce.number().int().min(1).max(64).default(2),
  LOG_LEVEL: z.string().default('info'),
});

/**
 * Runs a worker by itself, in the served form: one of any number. Everything from the environment (see the project's README).
 * @returns what stops it. @throws Error naming the variable that is missing or not valid.
 */
export async function serve(environment: NodeJS.ProcessEnv): Promise<() => Promise<void>> {
  const { appUrl, relayUrl } = connectionsFrom(environment);
  // A variable that compose passes on unset arrives empty.
  const given = Object.fromEntries(Object.entries(environment).filter(([, value]) => value !== ''));
  const parsed = settings.safeParse(given);
  if (!parsed.success) throw new Error(`${parsed.error.issues[0]?.path.join('.')}: ${parsed.error.issues[0]?.message}`);
  const { REDIS_URL: redisUrl, REDIS_PREFIX: redisPrefix, TRAVEL_URL: travelUrl, ROUTE_THREADS: routeThreads, WORKER_CONCURRENCY: concurrency, LOG_LEVEL: level } = parsed.data;
  const worker = await startWorker({ appUrl, relayUrl, redisUrl, redisPrefix, travelUrl, routeThreads, concurrency, log: pino({ level }) });
  return () => worker.close();
}

if (import.meta.url === pathToFileURL(process.argv[1] ?? '').href) {
  try {
    const stop = await serve(process.env);
    let ending = false;
    const end = (): void => {
      if (ending) return;
      ending = true;
      void stop().then(() => process.exit(0));
    };
    // `disconnect`: started with a channel to its parent, it ends when that does, also when that is killed. Heard to the
    // end, so that a second signal changes nothing.
    for (const event of ['SIGINT', 'SIGTERM', 'disconnect'] as const) process.on(event, end);
  } catch (error) {
    process.stderr.write(`lintel worker: ${(error as Error).message}\n`);
    process.exitCode = 2;
  }
}
