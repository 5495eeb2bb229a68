import { createHash, createHmac } from 'node:crypto';
import pg from 'pg';
import { applyMigrations } from './schemaEngine.js';

/** The three ways into one database: its schema's owner (migrations alone), the application, the relay. */
export interface Connections {
  ownerUrl: string;
  appUrl: string;
  relayUrl: string;
}

/** Held while a database is migrated, so that several processes starting at once do it one after the other. */
const MIGRATION_LOCK = 4_600_001;
/** Roles belong to the whole server; concurrent CREATE ROLE in two of its databases collide. */
const ROLE_LOCK = 4_600_002;

/**
 * The ways into the database that DATABASE_URL names as its schema's owner. APP_DATABASE_URL and RELAY_DATABASE_URL
 * name the other two, for nodes that must not know the owner's password. Where they are not set, role names and passwords
 * follow from DATABASE_URL, so that every node that is given the same one arrives at the same ones.
 * @throws where neither is set.
 */
export function connectionsFrom(environment: NodeJS.ProcessEnv): Connections {
  const ownerUrl = environment['DATABASE_URL'] ?? '';
  const derived = ownerUrl ? connectionsOf(ownerUrl) : { appUrl: '', relayUrl: '' };
  const appUrl = environment['APP_DATABASE_URL'] ?? derived.appUrl;
  const relayUrl = environment['RELAY_DATABASE_URL'] ?? derived.relayUrl;
  if (!appUrl) throw new Error('set APP_DATABASE_URL (or DATABASE_URL) to the PostgreSQL database of this installation');
  return { ownerUrl, appUrl, relayUrl };
}

/** Connections of a database of which only the owner's URL is known. */
export function connectionsOf(ownerUrl: string): Connections {
  const url = new URL(ownerUrl);
  const database = decodeURIComponent(url.pathname.slice(1));
  const tag = createHash('sha256').update(database).digest('hex').slice(0, 12);
  const as = (group: 'app' | 'relay'): string => {
    const role = `lintel_${group}_${tag}`;
    const secret = createHmac('sha256', `${decodeURIComponent(url.password)}/${database}`).update(role).digest('base64url');
    const own = new URL(ownerUrl);
    own.username = role;
    own.password = secret;
    return own.href;
  };
  return { ownerUrl, appUrl: as('app'), relayUrl: as('relay') };
}

/**
 * Brings a database to this version: migrations, then the sign-in roles. Safe to run from several processes at once.
 * @param ownerUrl a role that may create tables and roles (superuser or CREATEROLE).
 * @param environment may name the sign-in roles, see `connectionsFrom`.
 * @returns the connections, and the names of the migrations that were applied now.
 */
export async function prepareDatabase(
  ownerUrl: string,
  environment: NodeJS.ProcessEnv = {},
): Promise<Connections & { applied: string[] }> {
  const connections = connectionsFrom({ ...environment, DATABASE_URL: ownerUrl });
  const client = new pg.Client({ connectionString: ownerUrl });
  await client.connect();
  try {
    await client.query('SELECT pg_advisory_lock($1)', [MIGRATION_LOCK]);
    await forgetFailures(client);
    const applied = await applyMigrations(ownerUrl);
    await ensureSignInRole(client, connections.appUrl, 'lintel_app');
    await ensureSignInRole(client, connections.relayUrl, 'lintel_relay');
    return { ...connections, applied };
  } finally {
    await client.end();
  }
}

/** A migration is one transaction: one that failed, or was killed, left nothing behind and can be tried again. */
async function forgetFailures(client: pg.Client): Promise<void> {
  const { rows } = await client.query<{ known: boolean }>(`SELECT to_regclass('_prisma_migrations') IS NOT NULL AS known`);
  if (!rows[0]?.known) return;
  await client.query('UPDATE _prisma_migrations SET rolled_back_at = now() WHERE finished_at IS NULL AND rolled_back_at IS NULL');
}

async function ensureSignInRole(client: pg.Client, roleUrl: string, group: string): Promise<void> {
  const url = new URL(roleUrl);
  const name = decodeURIComponent(url.username);
  const role = client.escapeIdentifier(name);
  const password = client.escapeLiteral(decodeURIComponent(url.password));
  await client.query('BEGIN');
  await client.query('SELECT pg_advisory_xact_lock($1)', [ROLE_LOCK]);
  const known = await client.query('SELECT FROM pg_roles WHERE rolname = $1', [name]);
  const verb = known.rowCount === 0 ? 'CREATE' : 'ALTER';
  await client.query(`${verb} ROLE ${role} LOGIN NOSUPERUSER NOCREATEDB NOCREATEROLE INHERIT PASSWORD ${password}`);
  await client.query(`GRANT ${group} TO ${role}`);
  await client.query('COMMIT');
}

/** Removes what `prepareDatabase` made outside the database itself; the database must be gone already. */
export async function dropSignInRoles(adminClient: pg.Client, connections: Connections): Promise<void> {
  for (const url of [connections.appUrl, connections.relayUrl]) {
    await adminClient.query(`DROP ROLE IF EXISTS ${adminClient.escapeIdentifier(new URL(url).username)}`);
  }
}
