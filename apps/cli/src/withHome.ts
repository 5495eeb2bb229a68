import { openHome, Store, type CompanyContext, type OpenedHome } from '@lintel/store';
import pg from 'pg';
import { FailureError, InputError } from './inputError.js';

export interface OpenedStore {
  home: OpenedHome;
  store: Store;
}

/** Opens this installation's database for one command, and leaves it as it was found. */
export async function withHome<T>(work: (opened: OpenedStore) => Promise<T>): Promise<T> {
  const home = await openHome();
  try {
    const store = Store.open({ appUrl: home.appUrl, poolSize: 4 });
    try {
      return await work({ home, store });
    } finally {
      await store.close();
    }
  } finally {
    await home.close();
  }
}

export const contextOf = (companyId: string): CompanyContext => ({ companyId, accountId: null, actor: 'cli', ownerId: null });

/**
 * The company that is meant, by name or id; without a word the only one there is.
 * @throws InputError listing the companies, where there are several or none of that name; FailureError where there is none yet.
 */
export async function chooseCompany({ home, store }: OpenedStore, wanted: string | undefined): Promise<CompanyContext> {
  const companies = await companiesOf(home, store);
  const found = wanted === undefined ? companies : companies.filter(({ id, name }) => id === wanted || name.toLowerCase() === wanted.toLowerCase());
  if (found.length === 1) return contextOf(found[0]!.id);
  const names = companies.map(({ name }) => JSON.stringify(name)).join(', ');
  if (companies.length === 0) throw new FailureError('there is no company yet: start the server once, or run npx lintel seed');
  if (wanted === undefined) throw new InputError(`--company: say which one is meant: ${names}`);
  throw new InputError(`--company: ${found.length === 0 ? 'no' : 'more than one'} company is called ${JSON.stringify(wanted)}; there are ${names}`);
}

/** All companies of this installation, or the one that is meant. */
export async function chooseCompanies(opened: OpenedStore, wanted: string | undefined): Promise<{ context: CompanyContext; name: string }[]> {
  const companies = await companiesOf(opened.home, opened.store);
  const only = wanted === undefined ? null : await chooseCompany(opened, wanted);
  return companies.filter(({ id }) => only === null || id === only.companyId).map(({ id, name }) => ({ context: contextOf(id), name }));
}

async function companiesOf(home: OpenedHome, store: Store): Promise<{ id: string; name: string }[]> {
  // The relay knows which companies there are, the application what each is called.
  const relay = new pg.Client({ connectionString: home.relayUrl });
  await relay.connect();
  const { rows } = await relay.query<{ id: string }>('SELECT id FROM company ORDER BY id');
  await relay.end();
  const companies: { id: string; name: string }[] = [];
  for (const { id } of rows) {
    const company = await store.withCompany(contextOf(id), (db) => db.company.findUnique({ where: { id }, select: { name: true } }));
    companies.push({ id, name: company?.name ?? '' });
  }
  return companies;
}
