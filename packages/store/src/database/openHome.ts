import { startEmbeddedServer, stopEmbeddedServer } from './embeddedServer.js';
import { homeFolder } from './home.js';
import { useHomeKeySecret } from '../safety/keySecret.js';
import { prepareDatabase, type Connections } from './prepareDatabase.js';

/** A migrated database, wherever it lives. */
export interface OpenedHome extends Connections {
  home: string;
  /** `embedded`: ours, in the home folder; `served`: the one that DATABASE_URL names. */
  kind: 'embedded' | 'served';
  applied: string[];
  /** Leaves an embedded server running while other processes use it; `force` stops it whoever does. */
  close(options?: { force?: boolean }): Promise<void>;
}

/**
 * Opens the database of this installation and brings it to this version: the server of `DATABASE_URL` when it is
 * set, else the embedded one of `LINTEL_HOME` (started when it is not running).
 */
export async function openHome(environment: NodeJS.ProcessEnv = process.env): Promise<OpenedHome> {
  const home = homeFolder(environment);
  useHomeKeySecret(home);
  const databaseUrl = environment['DATABASE_URL'];
  if (databaseUrl) {
    return { ...(await prepareDatabase(databaseUrl, environment)), home, kind: 'served', close: async () => undefined };
  }
  const server = await startEmbeddedServer(home);
  try {
    const prepared = await prepareDatabase(server.ownerUrl);
    const close = ({ force = false } = {}): Promise<void> => (force ? stopEmbeddedServer(home) : server.stop());
    return { ...prepared, home, kind: 'embedded', close };
  } catch (error) {
    await server.stop();
    throw error;
  }
}
