import { usualRouteSettings } from '@lintel/contract';
import { newId, type CompanyContext, type CompanyDb } from '../context.js';
import { enqueue } from '../jobs/enqueue.js';
import { dateAfter, weekdayOf } from '../routes/localTime.js';
import type { Scenario } from './scenario.js';

/** The projection goes first: without it nothing is due. */
const PLAN_AFTER_SECONDS = 60;
const PLAN_SECONDS = 5;
const VANS_TO_ONE_SHORT = 13;

interface DemoCrew {
  technicianId: string;
  passwordHash: string;
  /** Milliseconds. */
  now: number;
  large: boolean;
}

/** The technicians' homes, hours and vans, hours of some sites, and a plan of next week, which is asked for. */
export async function addDemoRoutes(db: CompanyDb, context: CompanyContext, scenario: Scenario, { technicianId, passwordHash, now, large }: DemoCrew): Promise<void> {
  const { companyId } = context;
  const { crew, siteHours, stock } = scenario.routes;
  const others = crew.slice(1).map((one) => ({ ...one, id: newId() }));
  await db.account.createMany({
    data: others.map(({ id, name, email }) => ({ companyId, id, name, email: `${large ? 'large-' : ''}${email}@demo.example`, role: 'technician' as const, passwordHash })),
  });
  const members = [{ ...crew[0]!, id: technicianId }, ...others];
  await db.technician.createMany({
    data: members.map(({ id, latitude, longitude, timeZone, skills, hours }) => ({
      companyId, id, homeLatitude: latitude, homeLongitude: longitude, timeZone, skills, vanLoadKg: 900,
      shifts: [1, 2, 3, 4, 5].map((weekday) => ({ weekday, ...hours })),
    })),
  });
  const sites = await db.site.findMany({ where: { name: { in: siteHours.map(({ site }) => site) } }, select: { id: true, name: true } });
  await db.siteWindow.createMany({
    data: siteHours.flatMap(({ site, opensAt, closesAt, note }) =>
      sites.filter(({ name }) => name === site).flatMap(({ id: siteId }) =>
        [1, 2, 3, 4, 5].map((weekday) => ({ companyId, id: newId(), siteId, weekday, opensAt, closesAt, note })))),
  });
  const parts = stock.map((part) => ({ ...part, id: newId() }));
  await db.stockPart.createMany({
    data: parts.map(({ id, code, kind, name, cost, weightKg, inStore, lowAt, inVan }) => ({
      companyId, id, code, kind, name, cost: BigInt(cost), currency: 'EUR', weightKg, inStore, lowAt, perVan: inVan,
    })),
  });
  await db.vanStock.createMany({
    // Most vans carry what they should; here and there one has run out of a part.
    data: members.flatMap(({ id }, van) => parts.map(({ id: partId, inVan }, part) =>
      ({ companyId, id: newId(), technicianId: id, partId, quantity: (3 * part + van) % VANS_TO_ONE_SHORT === 0 ? 0 : inVan }))),
  });
  await askForPlan(db, context, now);
}

async function askForPlan(db: CompanyDb, context: CompanyContext, now: number): Promise<void> {
  const { companyId } = context;
  const today = new Date(now).toISOString().slice(0, 10);
  const id = newId();
  const jobRun = await enqueue(db, context, 'plan-routes', { planId: id }, { debounceSeconds: PLAN_AFTER_SECONDS });
  await db.routePlan.create({
    data: {
      companyId, id, name: 'Next week', state: 'waiting', fromOn: new Date(dateAfter(today, 8 - weekdayOf(today))), days: 5, seed: 1,
      budgetSeconds: PLAN_SECONDS, settings: { ...usualRouteSettings, visitMinutes: 120 }, currency: 'EUR', jobRun,
    },
  });
}
