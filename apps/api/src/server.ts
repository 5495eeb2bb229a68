import { pathToFileURL } from 'node:url';
import { connectionsFrom, keySecret, Store } from '@lintel/store';
import { createApi } from './main.js';
import { apiOptionsFrom } from './platform/environment.js';

/** Runs the API by itself, in the served form; everything from the environment (see the project's README). */
export async function serve(environment: NodeJS.ProcessEnv): Promise<() => Promise<void>> {
  const { appUrl } = connectionsFrom(environment);
  const port = Number(environment['PORT'] ?? '4600');
  if (!Number.isInteger(port) || port < 0 || port > 65_535) throw new Error('PORT must be a number from 0 to 65535');
  // Said at the start, and not to the technician who completes an inspection.
  keySecret(environment);
  const store = Store.open({ appUrl, poolSize: Number(environment['LINTEL_POOL_SIZE'] ?? '10') });
  const app = await createApi({ ...apiOptionsFrom(environment), store });
  await app.listen(port, environment['HOST'] ?? '127.0.0.1');
  return async () => {
    await app.close();
    await store.close();
  };
}

if (import.meta.url === pathToFileURL(process.argv[1] ?? '').href) {
  try {
    const stop = await serve(process.env);
    let stopping: Promise<void> | undefined;
    for (const signal of ['SIGINT', 'SIGTERM'] as const) process.on(signal, () => void (stopping ??= stop()));
  } catch (error) {
    process.stderr.write(`lintel api: ${(error as Error).message}\n`);
    process.exitCode = 2;
  }
}
