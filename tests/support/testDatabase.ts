import { randomBytes } from 'node:crypto';
import pg from 'pg';
import { inject } from 'vitest';
import { Store, dropSignInRoles, newId, prepareDatabase, type CompanyContext, type Connections } from '@lintel/store';

/** A migrated database of a test's own. */
export interface TestDatabase extends Connections {
  store: Store;
  /** As the schema's owner: past row-level security, for arranging and for looking behind the store's back. */
  owner: pg.Client;
  /** A new company, as an administrator's context without an account. */
  newCompany(name?: string): Promise<CompanyContext>;
  drop(): Promise<void>;
}

export async function openTestDatabase(options: { poolSize?: number } = {}): Promise<TestDatabase> {
  const serverUrl = inject('ownerUrl');
  const name = `lintel_test_${randomBytes(6).toString('hex')}`;
  const admin = new pg.Client({ connectionString: serverUrl });
  await admin.connect();
  await admin.query(`CREATE DATABASE ${name} TEMPLATE ${inject('migratedDatabase')}`);
  // A database's own privileges are the one thing that a copy lacks.
  await admin.query(`GRANT CREATE ON DATABASE ${name} TO lintel_relay`);
  const url = new URL(serverUrl);
  url.pathname = `/${name}`;
  const connections = await prepareDatabase(url.href);
  const store = Store.open({ appUrl: connections.appUrl, ...options });
  const owner = new pg.Client({ connectionString: url.href });
  await owner.connect();
  return {
    ...connections,
    store,
    owner,
    async newCompany(companyName = 'Test company') {
      const context = { companyId: newId(), accountId: null, actor: 'test', ownerId: null };
      await store.withCompany(context, (db) => db.company.create({ data: { id: context.companyId, name: companyName } }));
      return context;
    },
    async drop() {
      await store.close();
      await owner.end();
      await admin.query(`DROP DATABASE ${name} WITH (FORCE)`);
      await dropSignInRoles(admin, connections);
      await admin.end();
    },
  };
}
