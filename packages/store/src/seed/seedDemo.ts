import { newId, type CompanyContext, type CompanyDb, type Store } from '../context.js';
import { enqueue } from '../jobs/enqueue.js';
import { writeLedger } from '../ledger/writeLedger.js';
import { hashPassword } from '../people/passwords.js';
import { Dice } from './dice.js';
import { DemoDoors } from './demoDoors.js';
import type { FaultKind as StoredFaultKind } from '../generated/enums.js';
import { addDemoInspections } from './demoInspections.js';
import { addDemoRoutes } from './demoRoutes.js';
import { addDemoManuals } from './demoManuals.js';
import { addDemoTypes } from './demoTypes.js';
import { addDemoCompetences, addDemoSafety } from './demoSafety.js';
import type { DemoCode } from './faultHistory.js';
import { seedWork } from './workHistory.js';
import { readScenario, sitesFor, type Scenario } from './scenario.js';

export const DEMO_DOORS = 140;

export interface SeedOptions {
  /** Equal seeds make equal demos. */
  seed: number;
  doors?: number;
  password: string;
  /** Milliseconds: the end of the history. */
  now: number;
  /** A company of its own with sign-ins of its own, beside the demo's. */
  large?: boolean;
  /** Readings of each door, evenly spread; left out: as often as each door's counter happens to be read. */
  readingsPerDoor?: number;
  onProgress?: (doors: number) => void;
}

export interface SeededDemo {
  companyId: string;
  company: string;
  /** False: it was there already, and nothing was changed. */
  created: boolean;
  signIns: { role: string; email: string }[];
  doors: number;
  readings: number;
  fittedParts: number;
  completions: number;
  faults: number;
}

/** A large demo is a million readings: minutes on a small machine that has other work to do. */
const LONGEST_MS = 900_000;

/**
 * Fills a store with the demo scenario: an invented company, its people, sites and doors, and eighteen months of history with
 * every trouble that counters and parts give. One transaction: a demo is there whole or not at all. Its projection is asked for
 * in the same transaction. Work under way comes in a second one.
 */
export async function seedDemo(store: Store, options: SeedOptions): Promise<SeededDemo> {
  const scenario = readScenario();
  const signIns = scenario.people.map(({ role, email }) => ({ role, email: `${options.large ? 'large-' : ''}${email}@demo.example` }));
  const known = await store.pool.query<{ company_id: string }>('SELECT company_id FROM gate_account($1)', [signIns[0]!.email]);
  const company = options.large ? scenario.largeCompany : scenario.company;
  const found = known.rows[0]?.company_id;
  if (found !== undefined) {
    // Killed between its two transactions, or made before there were work orders: what is missing comes now.
    if (!options.large) await seedWork(store, { companyId: found, dice: new Dice(options.seed), nowMs: options.now });
    return { companyId: found, company, created: false, signIns, doors: 0, readings: 0, fittedParts: 0, completions: 0, faults: 0 };
  }
  const context: CompanyContext = { companyId: newId(), accountId: null, actor: 'seed', ownerId: null };
  const passwordHash = await hashPassword(options.password);
  const made = await store.withCompany(
    context,
    async (db) => {
      await db.company.create({ data: { id: context.companyId, name: company, createdAt: new Date(options.now) } });
      const owners = await addOwners(db, context, scenario);
      const people = await addPeople(db, context, scenario, { owners, signIns, passwordHash });
      await addDemoSafety(db, context, people, options.now);
      const types = await addDemoTypes(db, context, scenario);
      await addDemoManuals(db, context, types.map(({ id }) => id));
      const codes = await addCodes(db, context, scenario);
      const doors = new DemoDoors(db, context, new Dice(options.seed), { scenario, types, codes, technicianId: people.get('technician')!, options });
      const wanted = options.doors ?? DEMO_DOORS;
      for (const site of sitesFor(scenario, wanted)) await doors.addSite(site, owners.get(site.owner)!, wanted);
      const counts = await doors.finish();
      await addDemoInspections(db, context, new Dice(options.seed), people);
      await enqueue(db, context, 'project-company', {});
      await addDemoRoutes(db, context, scenario, { technicianId: people.get('technician')!, passwordHash, now: options.now, large: options.large === true });
      await addDemoCompetences(db, context, people.get('administrator')!, options.now);
      await writeLedger(db, context, {
        action: 'demo-seeded', subjectKind: 'company', subjectId: context.companyId, detail: { seed: options.seed, ...counts },
      });
      return { companyId: context.companyId, company, created: true, signIns, ...counts };
    },
    { timeoutMs: LONGEST_MS },
  );
  if (options.large) return made;
  const work = await seedWork(store, { companyId: context.companyId, dice: new Dice(options.seed), nowMs: options.now });
  return { ...made, readings: made.readings + work.readings, completions: made.completions + work.completions };
}

async function addOwners(db: CompanyDb, { companyId }: CompanyContext, scenario: Scenario): Promise<Map<string, string>> {
  const owners = scenario.owners.map((owner) => ({ ...owner, companyId, id: newId() }));
  await db.owner.createMany({ data: owners });
  return new Map(owners.map((owner) => [owner.name, owner.id]));
}

async function addCodes(db: CompanyDb, { companyId }: CompanyContext, { faultCodes }: Scenario): Promise<DemoCode[]> {
  const codes = faultCodes.map((code) => ({ ...code, id: newId() }));
  await db.faultCode.createMany({
    data: codes.map(({ id, code, name, kind, advice }) => ({
      companyId, id, code, name, advice, kind: kind.replaceAll('-', '_') as StoredFaultKind,
    })),
  });
  return codes;
}

async function addPeople(
  db: CompanyDb,
  { companyId }: CompanyContext,
  scenario: Scenario,
  given: { owners: Map<string, string>; signIns: { email: string }[]; passwordHash: string },
): Promise<Map<string, string>> {
  const accounts = scenario.people.map((person, index) => ({
    companyId,
    id: newId(),
    email: given.signIns[index]!.email,
    name: person.name,
    role: person.role,
    ownerId: person.owner === undefined ? null : given.owners.get(person.owner)!,
    passwordHash: given.passwordHash,
  }));
  await db.account.createMany({ data: accounts });
  return new Map(accounts.map((account) => [account.role, account.id]));
}
