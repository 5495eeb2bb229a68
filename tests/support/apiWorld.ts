import { newId, type CompanyContext } from '@lintel/store';
import { addAccount, TestApi, type Caller, type Role } from './api.js';
import { makeSmallFleet, type SmallFleet } from './fleet.js';
import { openTestDatabase, type TestDatabase } from './testDatabase.js';

/** A company with two owners, each with a site and a door, and somebody of each role; and another company. */
export interface ApiWorld {
  database: TestDatabase;
  api: TestApi;
  company: CompanyContext;
  fleet: SmallFleet;
  /** The same company's other owner. */
  otherOwner: SmallFleet;
  otherCompany: CompanyContext;
  foreign: SmallFleet;
  callers: Record<Role, Caller>;
  accountIds: Record<Role, string>;
  /** A plan with one task on the fleet's door type, and on the other company's. */
  planId: string;
  taskId: string;
  close(): Promise<void>;
}

const roles: readonly Role[] = ['administrator', 'planner', 'technician', 'owner'];

export async function openApiWorld(): Promise<ApiWorld> {
  const database = await openTestDatabase();
  const api = await TestApi.open(database.store);
  const { store } = database;
  const company = await database.newCompany('Company A');
  const fleet = await makeSmallFleet(store, company);
  const otherOwner = await makeSmallFleet(store, company, ' B');
  const otherCompany = await database.newCompany('Company Z');
  const foreign = await makeSmallFleet(store, otherCompany);
  const accountIds = {} as Record<Role, string>;
  const callers = {} as Record<Role, Caller>;
  for (const role of roles) {
    accountIds[role] = await addAccount(store, company, role, `${role}@a.example`, role === 'owner' ? fleet.ownerId : null);
    callers[role] = await api.signIn(`${role}@a.example`);
  }
  const planId = newId();
  const taskId = newId();
  const { companyId } = company;
  await store.withCompany(company, async (db) => {
    await db.plan.create({ data: { companyId, id: planId, doorTypeId: fleet.doorTypeId, name: 'Plan' } });
    await db.task.create({
      data: { companyId, id: taskId, planId, name: 'Yearly inspection', safety: true, intervalMonths: 12, minutes: 60, source: 'test' },
    });
  });
  return {
    database, api, company, fleet, otherOwner, otherCompany, foreign, callers, accountIds, planId, taskId,
    async close() {
      await api.close();
      await database.drop();
    },
  };
}
