import { pathToFileURL } from 'node:url';
import { Store } from '@lintel/store';
import { createApi } from './main.js';

/** Runs the API by itself, in the served form; everything from the environment (see the project's README). */
export async function serve(environment: NodeJS.ProcessEnv): Promise<() => Promise<void>> {
  const appUrl = environment['DATABASE_URL'];
  if (!appUrl) throw new Error('DATABASE_URL is missing: the address of the database, as a member of lintel_app');
  const port = Number(environment['PORT'] ?? '4600');
  if (!Number.isInteger(port) || port < 0 || port > 65_535) throw new Error('PORT must be a number from 0 to 65535');
  const store = Store.open({ appUrl, poolSize: Number(environment['LINTEL_POOL_SIZE'] ?? '10') });
  const app = await createApi({
    store,
    adminFolder: environment['LINTEL_ADMIN_FOLDER'] ?? null,
    logLevel: environment['LOG_LEVEL'] ?? 'info',
    trustProxy: environment['LINTEL_TRUSTED_PROXIES']?.split(',') ?? false,
    secureCookies: environment['LINTEL_HTTPS'] === 'true',
    metricsToken: environment['LINTEL_METRICS_TOKEN'] ?? null,
  });
  await app.listen(port, environment['HOST'] ?? '127.0.0.1');
  return async () => {
    await app.close();
    await store.close();
  };
}

if (import.meta.url === pathToFileURL(process.argv[1] ?? '').href) {
  try {
    const stop = await serve(process.env);
    for (const signal of ['SIGINT', 'SIGTERM'] as const) process.once(signal, () => void stop());
  } catch (error) {
    process.stderr.write(`lintel api: ${(error as Error).message}\n`);
    process.exitCode = 2;
  }
}
