import { randomUUID } from 'node:crypto';
import { chmodSync, mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { createApi } from '@lintel/api';
import { hashPassword, newId, prepareDatabase, startEmbeddedServer, stopEmbeddedServer, Store } from '@lintel/store';
import pg from 'pg';
import { makeFleet } from './fleet.mjs';

/** A database server of the bench's own with one large company in it; gone at the end. */
export async function openBench({ doors, readings }) {
  const home = mkdtempSync(join(tmpdir(), 'lintel-bench-'));
  // Run as root, the database's own account must be able to enter.
  chmodSync(home, 0o755);
  const server = await startEmbeddedServer(home);
  const connections = await prepareDatabase(server.ownerUrl);
  const owner = new pg.Client({ connectionString: server.ownerUrl });
  await owner.connect();
  const companyId = newId();
  await makeFleet(owner, { companyId, doors, readings });
  const store = Store.open({ appUrl: connections.appUrl, poolSize: 16 });
  return {
    companyId,
    owner,
    store,
    appUrl: connections.appUrl,
    context: { companyId, accountId: null, actor: 'bench', ownerId: null },
    async close() {
      await store.close();
      await owner.end();
      await stopEmbeddedServer(home);
      rmSync(home, { recursive: true, force: true });
    },
  };
}

/** The API on a free port of this machine, with a planner signed in. */
export async function openApi({ store, owner, companyId }) {
  const email = `bench-${randomUUID()}@demo.example`;
  const password = randomUUID();
  await owner.query(
    `INSERT INTO account (company_id, id, email, name, role, password_hash) VALUES ($1, $2, $3, 'Bench', 'planner', $4)`,
    [companyId, newId(), email, await hashPassword(password)],
  );
  const app = await createApi({
    store,
    adminFolder: null,
    logLevel: 'error',
    requestsPerMinute: null,
    strangerRequestsPerMinute: null,
  });
  await app.listen(0, '127.0.0.1');
  const url = `http://127.0.0.1:${app.getHttpServer().address().port}/api/v1`;
  const signedIn = await fetch(`${url}/session`, {
    method: 'POST',
    headers: { 'content-type': 'application/json' },
    body: JSON.stringify({ email, password }),
  });
  if (!signedIn.ok) throw new Error(`sign-in: ${signedIn.status} ${await signedIn.text()}`);
  const cookie = signedIn.headers.getSetCookie().map((line) => line.split(';')[0]).join('; ');
  return { url, cookie, close: () => app.close() };
}

export async function seconds(work) {
  const start = performance.now();
  await work();
  return (performance.now() - start) / 1000;
}
