import { createServer } from 'node:net';
import { apiOptionsFrom, createApi } from '@lintel/api';
import { homeFolder, openHome, Store, type OpenedHome } from '@lintel/store';
import { FailureError } from '../inputError.js';
import { openDemo, type Demo } from './demo.js';
import { claimHome } from './oneServer.js';
import { serveOptions, type ServeOptions } from './serveOptions.js';
import { WorkerProcess } from './workerProcess.js';

type Say = (line: string) => void;

/** Everything on one machine: database, demo when empty, API, pages, worker. Ends at Ctrl-C or SIGTERM. */
export async function serve(environment: NodeJS.ProcessEnv, say: Say): Promise<void> {
  const options = serveOptions(environment);
  await refuseTakenPort(options);
  const release = await claimHome(homeFolder(environment), addressOf(options));
  // From here on a signal is an orderly end, however far the start has come.
  const stop = stopAsked();
  try {
    const home = await openHome(environment);
    try {
      await run(home, options, { environment, say, stop });
    } finally {
      // Ours alone: whatever else uses the database at this moment is told by its connection.
      await home.close({ force: true });
    }
  } finally {
    release();
  }
}

interface Surroundings {
  environment: NodeJS.ProcessEnv;
  say: Say;
  stop: Promise<void>;
}

async function run(home: OpenedHome, options: ServeOptions, { environment, say, stop }: Surroundings): Promise<void> {
  const store = Store.open({ appUrl: home.appUrl, poolSize: 20 });
  const demo = await openDemo(store, home, environment['LINTEL_DEMO_PASSWORD']);
  const nodes = { LOG_LEVEL: 'warn', ...environment, APP_DATABASE_URL: home.appUrl, RELAY_DATABASE_URL: home.relayUrl };
  const worker = new WorkerProcess(nodes, say);
  const api = await createApi({ ...apiOptionsFrom(nodes), store });
  try {
    await api.listen(options.port, options.host);
    worker.start();
    announce(options, home, demo, say);
    await stop;
    say('stopping …');
  } finally {
    await api.close();
    await worker.stop();
    await store.close();
  }
}

const addressOf = ({ host, port }: ServeOptions): string => `http://${host.includes(':') ? `[${host}]` : host}:${port}/`;

function announce(options: ServeOptions, home: OpenedHome, demo: Demo | null, say: Say): void {
  say(`Lintel is ready: ${addressOf(options)}`);
  say(`data: ${home.kind === 'embedded' ? `embedded PostgreSQL in ${home.home}` : 'the PostgreSQL server of DATABASE_URL'}`);
  if (demo) {
    say(`demo sign-ins (password: ${demo.password ?? 'as it was when the demo was made; set LINTEL_DEMO_PASSWORD to change it'}):`);
    for (const email of demo.emails) say(`  ${email}`);
  }
  say('Ctrl-C stops it.');
}

/**
 * The first signal asks for an orderly end; further ones change nothing. (Ctrl-C under npm sends two: the terminal's own, and
 * npm's. Unheard, the second would end us half-way and leave the database running.)
 */
function stopAsked(): Promise<void> {
  return new Promise((resolve) => {
    for (const signal of ['SIGINT', 'SIGTERM', 'SIGHUP'] as const) process.on(signal, () => resolve());
  });
}

/** Asked before anything else is started: a taken port is the commonest trouble of a start. */
function refuseTakenPort({ port, host }: ServeOptions): Promise<void> {
  return new Promise((resolve, reject) => {
    const probe = createServer();
    probe.once('error', (error: NodeJS.ErrnoException) => {
      const why = error.code === 'EADDRINUSE' ? 'is in use by another program; set PORT to a free one' : `cannot be used: ${error.message}`;
      reject(new FailureError(`port ${port} on ${host} ${why}`));
    });
    probe.listen(port, host, () => probe.close(() => resolve()));
  });
}
