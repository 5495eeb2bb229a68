import { randomBytes } from 'node:crypto';
import pg from 'pg';
import type { TestProject } from 'vitest/node';
import { dropSignInRoles, prepareDatabase, startEmbeddedServer } from '@lintel/store';
import { removeHome, temporaryHome } from './temporaryHome.js';

declare module 'vitest' {
  interface ProvidedContext {
    /** A role that may make databases and roles. */
    ownerUrl: string;
    /** Name of a migrated database that nobody is connected to: what each test's own is copied from. */
    migratedDatabase: string;
  }
}

/**
 * One PostgreSQL server for the run: the embedded one in a folder of its own, or the one that
 * LINTEL_TEST_DATABASE_URL names. Each test file makes its own databases in it, copies of a migrated one, and drops them.
 */
export default async function setup(project: TestProject): Promise<() => Promise<void>> {
  const server = await openServer();
  try {
    const migrated = await migratedDatabase(server.ownerUrl);
    project.provide('ownerUrl', server.ownerUrl);
    project.provide('migratedDatabase', migrated.name);
    return async () => {
      await migrated.drop();
      await server.close();
    };
  } catch (error) {
    await server.close();
    throw error;
  }
}

async function openServer(): Promise<{ ownerUrl: string; close(): Promise<void> }> {
  const given = process.env['LINTEL_TEST_DATABASE_URL'];
  if (given) return { ownerUrl: given, close: async () => undefined };
  const home = temporaryHome('test');
  try {
    const { ownerUrl } = await startEmbeddedServer(home);
    return { ownerUrl, close: () => removeHome(home) };
  } catch (error) {
    await removeHome(home);
    throw error;
  }
}

async function migratedDatabase(serverUrl: string): Promise<{ name: string; drop(): Promise<void> }> {
  const name = `lintel_test_migrated_${randomBytes(6).toString('hex')}`;
  const admin = new pg.Client({ connectionString: serverUrl });
  await admin.connect();
  const drop = async (): Promise<void> => {
    try {
      await admin.query(`DROP DATABASE ${name} WITH (FORCE)`);
    } finally {
      await admin.end();
    }
  };
  try {
    await admin.query(`CREATE DATABASE ${name}`);
    const url = new URL(serverUrl);
    url.pathname = `/${name}`;
    const connections = await prepareDatabase(url.href);
    // Nobody signs in to it: its copies have roles of their own. What the roles were granted lies in the database itself.
    const inside = new pg.Client({ connectionString: url.href });
    await inside.connect();
    await dropSignInRoles(inside, connections);
    await inside.end();
    return { name, drop };
  } catch (error) {
    // The reason is told, also where the clearing away fails for the same one.
    await drop().catch(() => undefined);
    throw error;
  }
}
