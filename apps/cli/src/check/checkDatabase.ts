import { connectionsFrom, connectionsOf, homeFolder, migrationNames, startEmbeddedServer, type Connections } from '@lintel/store';
import pg from 'pg';
import { reasonOf, withoutPassword, type Finding } from './finding.js';

const LEAST_VERSION = 15;
const ANSWER_WITHIN_MS = 5_000;

/** Checks the database of this installation, starting the embedded one where it does not run. Changes nothing in it. */
export async function databaseFindings(environment: NodeJS.ProcessEnv): Promise<Finding[]> {
  if (environment['DATABASE_URL']) {
    try {
      return await findingsOf(connectionsFrom(environment), true);
    } catch (error) {
      return [{ what: 'database', ok: false, detail: `DATABASE_URL: ${reasonOf(error)}` }];
    }
  }
  try {
    const server = await startEmbeddedServer(homeFolder(environment));
    try {
      return await findingsOf(connectionsOf(server.ownerUrl), false);
    } finally {
      await server.stop();
    }
  } catch (error) {
    return [{ what: 'database', ok: false, detail: `embedded PostgreSQL: ${reasonOf(error)}` }];
  }
}

async function findingsOf(connections: Connections, served: boolean): Promise<Finding[]> {
  const name = served ? withoutPassword(connections.ownerUrl) : 'embedded';
  let state: Awaited<ReturnType<typeof schemaState>>;
  try {
    state = await withClient(connections.ownerUrl, schemaState);
  } catch (error) {
    return [{ what: 'database', ok: false, detail: `${name}: ${reasonOf(error)}` }];
  }
  const recent = state.version >= LEAST_VERSION;
  const found: Finding[] = [
    { what: 'database', ok: recent, detail: `PostgreSQL ${state.version}, ${name}${recent ? '' : `; ${LEAST_VERSION} or newer is needed`}` },
  ];
  const wanted = migrationNames();
  const missing = wanted.filter((migration) => !state.applied.has(migration));
  if (missing.length === wanted.length) {
    return [...found, { what: 'schema', ok: true, detail: `empty; the first start applies ${wanted.length} migrations and makes the roles` }];
  }
  found.push({
    what: 'schema',
    ok: missing.length === 0,
    detail: missing.length === 0 ? `${wanted.length} migrations, all applied` : `not applied yet: ${missing.join(', ')}; the next start applies them`,
  });
  return [...found, await roleFinding('app role', connections.appUrl), await roleFinding('relay role', connections.relayUrl)];
}

async function schemaState(client: pg.Client): Promise<{ version: number; applied: Set<string> }> {
  const { rows: server } = await client.query<{ server_version_num: string }>('SHOW server_version_num');
  const version = Math.floor(Number(server[0]!.server_version_num) / 10_000);
  const { rows: known } = await client.query<{ known: boolean }>(`SELECT to_regclass('_prisma_migrations') IS NOT NULL AS known`);
  if (!known[0]!.known) return { version, applied: new Set() };
  const { rows } = await client.query<{ name: string }>('SELECT migration_name AS name FROM _prisma_migrations WHERE finished_at IS NOT NULL');
  return { version, applied: new Set(rows.map((row) => row.name)) };
}

/** Row-level security binds only a role that owns nothing and cannot pass it by. */
async function roleFinding(what: string, url: string): Promise<Finding> {
  try {
    const { name, faults } = await withClient(url, async (client) => {
      const { rows } = await client.query<{ name: string; super: boolean; bypass: boolean; owns: number }>(
        `SELECT r.rolname AS name, r.rolsuper AS super, r.rolbypassrls AS bypass,
           (SELECT count(*)::int FROM pg_class c WHERE c.relowner = r.oid) AS owns FROM pg_roles r WHERE r.rolname = current_user`,
      );
      const role = rows[0]!;
      const faults = [role.super && 'is a superuser', role.bypass && 'passes row-level security by', role.owns > 0 && 'owns tables'];
      return { name: role.name, faults: faults.filter((fault) => fault !== false) };
    });
    return { what, ok: faults.length === 0, detail: faults.length === 0 ? `${name}, bound by row-level security` : `${name} ${faults.join(', ')}` };
  } catch (error) {
    return { what, ok: false, detail: reasonOf(error) };
  }
}

async function withClient<T>(connectionString: string, ask: (client: pg.Client) => Promise<T>): Promise<T> {
  const client = new pg.Client({ connectionString, connectionTimeoutMillis: ANSWER_WITHIN_MS });
  try {
    await client.connect();
    return await ask(client);
  } finally {
    await client.end().catch(() => undefined);
  }
}
