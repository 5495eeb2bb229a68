import type { DoorRenewals, PlanDifference, PlanVisit, RoutePlanDetail } from '@lintel/contract';
import { projectCompany, newId } from '@lintel/store';
import { Redis } from 'ioredis';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { startWorker, type RunningWorker } from '../../apps/worker/src/index.js';
import { type Caller } from '../support/api.js';
import { openApiWorld, type ApiWorld } from '../support/apiWorld.js';
import { makeSmallFleet, type SmallFleet } from '../support/fleet.js';
import { backends, noConnections, ownPrefix, quickTiming, quiet, until } from '../support/queue.js';

const DAY_MS = 86_400_000;
const dateIn = (from: string, days: number) => new Date(Date.parse(from) + days * DAY_MS).toISOString().slice(0, 10);
/** The Monday of the week after next. */
const monday = (() => {
  const today = new Date().toISOString().slice(0, 10);
  return dateIn(today, 14 - ((new Date(today).getUTCDay() + 6) % 7));
})();
const weekdays = [1, 2, 3, 4, 5];

/** On Redis where there is one: everything else of routes is tried with the queue on PostgreSQL. */
const { redisUrl } = backends.at(-1)!;
const redisPrefix = ownPrefix();

let world: ApiWorld;
let worker: RunningWorker;
/** Its doors have an inspection that is due each; but for the last, whose type has no plan. */
let sites: SmallFleet[];
let planner: Caller;

beforeAll(async () => {
  world = await openApiWorld();
  planner = world.callers.planner;
  const { store } = world.database;
  const { company, company: { companyId } } = world;
  sites = [world.fleet, world.otherOwner, await makeSmallFleet(store, company, ' C'), await makeSmallFleet(store, company, ' D')];
  await store.withCompany(company, async (db) => {
    await db.task.deleteMany({ where: { id: world.taskId } });
    for (const [index, { siteId, doorTypeId, doorId, counterId, chainPositionId }] of sites.entries()) {
      await db.site.update({ where: { companyId_id: { companyId, id: siteId } }, data: { latitude: 60.3 + 0.02 * index, longitude: 5.3 } });
      // 800 cycles a day since 2024: the chain, rated 300,000, is far over its life.
      await db.reading.createMany({ data: Array.from({ length: 60 }, (_, week) => ({
        companyId, id: newId(), doorId, counterId, at: new Date(Date.UTC(2024, 0, 16 + 14 * week)), value: BigInt(800 * (1 + 14 * week)), source: 'form' as const,
      })) });
      await db.position.update({ where: { companyId_id: { companyId, id: chainPositionId } }, data: { plannedCost: 6_000n, failureCost: 6_000_000n, costCurrency: 'EUR' } });
      if (index === sites.length - 1) continue;
      const planId = newId();
      await db.plan.create({ data: { companyId, id: planId, doorTypeId, name: `Inspections ${index}` } });
      await db.task.create({ data: { companyId, id: newId(), planId, name: 'Half-yearly inspection', safety: true, intervalMonths: 6, minutes: 90, parts: ['light-beam'], source: 'test' } });
    }
  });
  // Two shifts a day: neither alone has the hours for all the work.
  const shifts = weekdays.flatMap((weekday) => [{ weekday, from: '06:00', to: '10:00' }, { weekday, from: '12:00', to: '16:00' }]);
  const profile = { homeLatitude: 60.29, homeLongitude: 5.31, timeZone: 'Europe/Oslo', skills: [], shifts };
  const made = await planner.post('technicians', { accountId: world.accountIds.technician, ...profile });
  if (made.status !== 201) throw new Error(made.text);
  await projectCompany(store, company, { now: new Date() });
  worker = await startWorker({ appUrl: world.database.appUrl, relayUrl: world.database.relayUrl, redisUrl, redisPrefix, concurrency: 2, timing: quickTiming, schedule: false, chunkDoors: 5, log: quiet });
});
afterAll(async () => {
  await worker?.close();
  if (redisUrl !== undefined) {
    const redis = new Redis(redisUrl);
    for await (const keys of redis.scanStream({ match: `${redisPrefix}:*` })) if ((keys as string[]).length > 0) await redis.del(...(keys as string[]));
    redis.disconnect();
  }
  if (world) await noConnections(world.database.owner);
  await world?.close();
});

const detail = async (id: string): Promise<RoutePlanDetail> => (await planner.get(`route-plans/${id}`)).body;
const settled = (id: string) => until('the plan to be made', async () => {
  const plan = await detail(id);
  if (plan.state === 'failed') throw new Error(plan.error ?? 'failed');
  return plan.state === 'draft' ? plan : null;
});
const newPlan = async (days: number): Promise<RoutePlanDetail> => {
  const asked = await planner.post('route-plans', { fromOn: monday, days, budgetSeconds: 1 });
  expect([asked.status, asked.text]).toEqual([202, expect.any(String)]);
  return settled(asked.body.planId);
};
const placed = (plan: RoutePlanDetail): PlanVisit[] => plan.visitList.filter(({ technicianId }) => technicianId !== null);
const etag = ({ version }: RoutePlanDetail) => ({ 'if-match': `"${version}"` });

it('a renewal that pays joins a visit that is made anyway, at the gain that the door’s own page says; alone it makes none', async () => {
  const plan = await newPlan(5);
  expect(plan.visitList.map(({ siteId }) => siteId).sort()).toEqual(sites.slice(0, 3).map(({ siteId }) => siteId).sort());
  for (const { siteId, doorId, chainId } of sites.slice(0, 3)) {
    const { items } = (await planner.get(`doors/${doorId}/renewals`)).body as DoorRenewals;
    const renewal = items.find(({ fittedPartId }) => fittedPartId === chainId)!.visit;
    expect(renewal.decision).toBe('replace');
    const visit = plan.visitList.find((one) => one.siteId === siteId)!;
    expect(visit.items.map(({ kind }) => kind).sort()).toEqual(['renewal', 'safety']);
    const item = visit.items.find(({ kind }) => kind === 'renewal')!;
    expect(item).toMatchObject({ key: `renewal:${chainId}`, fittedPartId: chainId, title: 'Drive chain', joins: { code: 'worth-while' } });
    // The chances are asked for a moment later than the plan did: equal to a hundredth.
    const gain = renewal.riskCost - renewal.lifeCost;
    expect(Math.abs(Number(item.joins.facts['saves']) - gain)).toBeLessThan(0.01 * gain + 1);
    expect(visit.parts.map(({ kind }) => kind).sort()).toEqual(['drive-chain', 'light-beam']);
  }
  // The fourth door's chain is as worn, but nothing else brings anybody there.
  expect(((await planner.get(`doors/${sites[3]!.doorId}/renewals`)).body as DoorRenewals).items[0]!.visit.decision).toBe('replace');
  await planner.post(`route-plans/${plan.id}/discard`);
});

describe('two shifts on one day', () => {
  let plan: RoutePlanDetail;

  it('each have their own visits, and the van is loaded once', async () => {
    plan = await newPlan(1);
    expect(plan.routes.map(({ onDate }) => onDate)).toEqual([monday, monday]);
    const listed = plan.routes.flatMap(({ visitIds }) => visitIds);
    expect([...listed].sort()).toEqual(placed(plan).map(({ id }) => id).sort());
    expect(plan.routes.every(({ visitIds }) => visitIds.length > 0)).toBe(true);
    for (const route of plan.routes) {
      for (const visit of placed(plan).filter(({ id }) => route.visitIds.includes(id))) {
        expect(Date.parse(visit.startAt!)).toBeGreaterThanOrEqual(Date.parse(route.shiftFrom));
        expect(Date.parse(visit.leaveAt!)).toBeLessThanOrEqual(Date.parse(route.shiftTo));
      }
      const work = placed(plan).filter(({ id }) => route.visitIds.includes(id)).reduce((sum, { minutes }) => sum + minutes, 0);
      expect(route.workMinutes).toBe(work);
    }
    const needed = placed(plan).flatMap(({ parts }) => parts).length;
    expect(plan.routes.map(({ carry }) => carry.reduce((sum, part) => sum + part.needed, 0))).toEqual([needed, 0]);
    expect(plan.notices.find(({ code }) => code === 'stock-missing')!.facts['parts']).toBe(needed);
  });

  it('can be told apart in a move, and a locked visit stays in its own when the plan is made again', async () => {
    const [morning, afternoon] = plan.routes as [RoutePlanDetail['routes'][number], RoutePlanDetail['routes'][number]];
    const late = afternoon.visitIds[0]!;
    const { places } = (await planner.get(`route-plans/${plan.id}/visits/${late}/moves`)).body;
    const here = places.find(({ shift, position }: { shift: number; position: number }) => shift === afternoon.shift && position === 0);
    expect([here.onDate, Math.round(here.difference)]).toEqual([monday, 0]);
    const kept = await planner.post(`route-plans/${plan.id}/visits/${late}/move`, { technicianId: afternoon.technicianId, onDate: monday, shift: afternoon.shift, position: 0 }, etag(plan));
    expect([kept.status, kept.body.cost]).toEqual([200, plan.cost]);
    expect(kept.body.routes.map(({ visitIds }: { visitIds: string[] }) => visitIds)).toEqual([morning.visitIds, afternoon.visitIds]);
    const wrong = await planner.post(`route-plans/${plan.id}/visits/${late}/move`, { technicianId: afternoon.technicianId, onDate: dateIn(monday, 1), shift: afternoon.shift });
    expect(wrong.status).toBe(409);
    const locked = await planner.post(`route-plans/${plan.id}/visits/${late}/lock`, {}, etag(kept.body));
    expect(locked.status).toBe(200);
    const asked = await planner.post(`route-plans/${plan.id}/replan`, { replanning: { reason: 'other' }, budgetSeconds: 1 }, etag(locked.body));
    const next = await settled(asked.body.planId);
    const siteId = placed(plan).find(({ id }) => id === late)!.siteId;
    const again = placed(next).find((visit) => visit.siteId === siteId)!;
    expect(again.locked).toBe(true);
    expect(next.routes.find(({ visitIds }) => visitIds.includes(again.id))!.shift).toBe(afternoon.shift);
    await planner.post(`route-plans/${next.id}/discard`);
  });

  it('are not changed over what somebody else has changed meanwhile', async () => {
    const before = await detail(plan.id);
    const visit = placed(before).find(({ locked }) => !locked)!;
    const stale = { 'if-match': `"${before.version - 1}"` };
    const out = { technicianId: null };
    for (const [path, body] of [
      [`visits/${visit.id}/move`, out], [`visits/${visit.id}/lock`, {}], [`visits/${visit.id}/unlock`, {}], ['replan', { replanning: { reason: 'other' } }], ['cancel', {}],
      ['accept', {}], ['publish', {}], ['discard', {}],
    ] as const) {
      const refused = await planner.post(`route-plans/${plan.id}/${path}`, body, stale);
      expect([path, refused.status, refused.body.current?.version]).toEqual([path, 412, before.version]);
    }
    expect((await planner.post(`route-plans/${plan.id}/visits/${visit.id}/move`, out, { 'if-match': 'last' })).status).toBe(400);
    expect(await detail(plan.id)).toEqual(before);
    const moved = await planner.post(`route-plans/${plan.id}/visits/${visit.id}/move`, out, etag(before));
    expect([moved.status, moved.body.version]).toEqual([200, before.version + 1]);
    expect((await planner.post(`route-plans/${plan.id}/visits/${visit.id}/move`, out, etag(before))).status).toBe(412);
    await planner.post(`route-plans/${plan.id}/discard`);
  });
});

it('a plan is made again when a site asks for another time, and work that grew meanwhile is told', async () => {
  const plan = await newPlan(5);
  await planner.post(`route-plans/${plan.id}/accept`);
  expect((await planner.post(`route-plans/${plan.id}/publish`)).body.visits).toBe(3);
  const visit = placed(plan)[0]!;
  const { doorId } = sites.find(({ siteId }) => siteId === visit.siteId)!;
  // Only on another day of the week than the one announced, from noon to four.
  const weekday = (new Date(visit.onDate!).getUTCDay() % 5) + 1;
  expect((await planner.post('site-windows', { siteId: visit.siteId, weekday, opensAt: '12:00', closesAt: '15:00' })).status).toBe(201);
  const stays = placed(plan).find(({ siteId }) => siteId !== visit.siteId)!;
  const stayingDoor = sites.find(({ siteId }) => siteId === stays.siteId)!.doorId;
  for (const one of [doorId, stayingDoor]) expect((await planner.post('findings', { doorId: one, severity: 'defect', text: 'Edge seal torn' })).status).toBe(201);
  const asked = await planner.post(`route-plans/${plan.id}/replan`, { replanning: { reason: 'site-moved', note: 'stocktaking' }, budgetSeconds: 1 });
  const next = await settled(asked.body.planId);
  expect(next.replanning).toEqual({ reason: 'site-moved', note: 'stocktaking' });
  const moved = placed(next).find(({ siteId, items }) => siteId === visit.siteId && items.some(({ kind }) => kind === 'safety'))!;
  const local = new Intl.DateTimeFormat('en-GB', { timeZone: 'Europe/Oslo', hour: '2-digit', minute: '2-digit', hourCycle: 'h23' }).format(Date.parse(moved.startAt!));
  expect([new Date(moved.onDate!).getUTCDay(), local >= '12:00' && local <= '15:00']).toEqual([weekday, true]);
  expect(moved.costs.moved).toBe(plan.settings.prices.movedVisit);
  const difference: PlanDifference = (await planner.get(`route-plans/${next.id}/difference`)).body;
  expect(difference.moved.find(({ siteId }) => siteId === visit.siteId)).toMatchObject({ visitId: moved.id, otherRoute: true, announced: true, before: { onDate: visit.onDate }, after: { onDate: moved.onDate } });
  for (const one of [moved, placed(next).find(({ siteId }) => siteId === stays.siteId)!]) {
    const { gained, lost, minutes } = difference.reworked.find(({ visitId }) => visitId === one.id)!;
    const before = placed(plan).find(({ siteId }) => siteId === one.siteId)!;
    expect([gained.map(({ kind, title }) => [kind, title]), lost, minutes]).toEqual([[['finding', 'Edge seal torn']], [], one.minutes - before.minutes]);
    expect(minutes).toBeGreaterThan(0);
  }
  expect(difference.unchanged + new Set([...difference.moved, ...difference.reworked].map(({ visitId }) => visitId)).size + difference.added.length).toBe(placed(next).length);
});
