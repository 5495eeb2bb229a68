import { readFileSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import pg from 'pg';
import { hashPassword, homeSecrets, projectCompany, seedDemo, verifyPassword, type CompanyContext, type OpenedHome, type Store } from '@lintel/store';

/** The scenario's own number: everybody's demo is the same. */
const DEMO_SEED = 4600;

export interface Demo {
  emails: string[];
  /** Null where it was set elsewhere and is not known here. */
  password: string | null;
}

/** Fills an empty database with the demo. Null where the database holds companies, but not the demo's. */
export async function openDemo(store: Store, home: OpenedHome, givenPassword: string | undefined): Promise<Demo | null> {
  const password = givenPassword || homeSecrets(home.home).demoPassword;
  if (!(await isEmpty(home)) && !(await planner(store))) return null;
  const seeded = await seedDemo(store, { seed: DEMO_SEED, password, now: Date.now() });
  // At once and not by the worker, so that the first page that anybody opens is not an empty one.
  if (seeded.created) await projectCompany(store, contextOf(seeded.companyId), { now: new Date() });
  const emails = seeded.signIns.map(({ email }) => email);
  const known = await planner(store);
  const fits = known !== null && (await verifyPassword(known.password_hash, password));
  if (!fits && givenPassword) await changePasswords(store, seeded.companyId, emails, givenPassword);
  if (givenPassword) keepPassword(home.home, givenPassword);
  return { emails, password: fits || givenPassword ? password : null };
}

const contextOf = (companyId: string): CompanyContext => ({ companyId, accountId: null, actor: 'cli', ownerId: null });

async function isEmpty({ relayUrl }: OpenedHome): Promise<boolean> {
  const relay = new pg.Client({ connectionString: relayUrl });
  await relay.connect();
  const { rowCount } = await relay.query('SELECT id FROM company LIMIT 1');
  await relay.end();
  return rowCount === 0;
}

async function planner(store: Store): Promise<{ password_hash: string } | null> {
  const found = await store.pool.query<{ password_hash: string }>('SELECT password_hash FROM gate_account($1)', ['planner@demo.example']);
  return found.rows[0] ?? null;
}

async function changePasswords(store: Store, companyId: string, emails: string[], password: string): Promise<void> {
  const passwordHash = await hashPassword(password);
  await store.withCompany(contextOf(companyId), (db) =>
    db.account.updateMany({ where: { companyId, email: { in: emails } }, data: { passwordHash, version: { increment: 1 } } }));
}

/** So that a later start without LINTEL_DEMO_PASSWORD still knows it. */
function keepPassword(home: string, demoPassword: string): void {
  const file = join(home, 'secrets.json');
  const secrets = homeSecrets(home);
  if (secrets.demoPassword === demoPassword) return;
  const kept = { ...(JSON.parse(readFileSync(file, 'utf8')) as object), demoPassword };
  writeFileSync(file, JSON.stringify(kept, null, 2), { mode: 0o600 });
}
