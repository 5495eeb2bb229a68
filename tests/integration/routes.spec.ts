import { createServer, type Server } from 'node:http';
import type { AddressInfo } from 'node:net';
import type { PlanVisit, RoutePlanDetail } from '@lintel/contract';
import { newId, travelMatrix } from '@lintel/store';
import ICAL from 'ical.js';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { startWorker, type RunningWorker } from '../../apps/worker/src/index.js';
import { addAccount, TestApi, type Caller } from '../support/api.js';
import { openApiWorld, type ApiWorld } from '../support/apiWorld.js';
import { makeSmallFleet, type SmallFleet } from '../support/fleet.js';
import { noConnections, quickTiming, quiet, until } from '../support/queue.js';

const DAY_MS = 86_400_000;
const dateIn = (from: string, days: number) => new Date(Date.parse(from) + days * DAY_MS).toISOString().slice(0, 10);
/** The Monday of the week after next: a whole week in the future. */
const monday = (() => {
  const today = new Date().toISOString().slice(0, 10);
  return dateIn(today, 14 - ((new Date(today).getUTCDay() + 6) % 7));
})();
const week = [1, 2, 3, 4, 5].map((weekday) => ({ weekday, from: '07:00', to: '16:00' }));

let world: ApiWorld;
let worker: RunningWorker;
let sites: SmallFleet[];
let planner: Caller;
let second: { id: string; caller: Caller };

beforeAll(async () => {
  world = await openApiWorld();
  planner = world.callers.planner;
  const { store } = world.database;
  const { companyId } = world.company;
  const id = await addAccount(store, world.company, 'technician', 'second@a.example');
  second = { id, caller: await world.api.signIn('second@a.example') };
  sites = [world.fleet, world.otherOwner];
  for (const tag of [' C', ' D', ' E']) sites.push(await makeSmallFleet(store, world.company, tag));
  await store.withCompany(world.company, async (db) => {
    for (const [index, site] of sites.entries()) {
      await db.site.update({ where: { companyId_id: { companyId, id: site.siteId } }, data: { latitude: 60.3 + 0.05 * index, longitude: 5.3 } });
      const planId = newId();
      const taskId = newId();
      await db.plan.create({ data: { companyId, id: planId, doorTypeId: site.doorTypeId, name: `Plan ${index}` } });
      await db.task.create({ data: {
        companyId, id: taskId, planId, name: 'Half-yearly inspection', safety: true, intervalMonths: 6, minutes: 120, skills: ['inspection'], parts: ['light-beam'], source: 'test',
      } });
      const dueOn = new Date(dateIn(monday, index - 1));
      await db.dueItem.create({ data: {
        companyId, doorId: site.doorId, taskId, safety: true, earliestOn: new Date(dateIn(monday, -20)), dueOn, latestOn: dueOn,
        why: { rule: 'calendar', basis: { kind: 'completion', on: dateIn(monday, -180), lifetimeCycles: 0 } }, projectedAt: new Date(),
      } });
    }
  });
  worker = await startWorker({ appUrl: world.database.appUrl, relayUrl: world.database.relayUrl, concurrency: 2, timing: quickTiming, schedule: false, chunkDoors: 5, log: quiet });
});
afterAll(async () => {
  await worker?.close();
  if (world) await noConnections(world.database.owner);
  await world?.close();
});

const detail = async (id: string): Promise<RoutePlanDetail> => (await planner.get(`route-plans/${id}`)).body;
const settled = (id: string) => until('the plan to be made', async () => {
  const plan = await detail(id);
  if (plan.state === 'failed') throw new Error(plan.error ?? 'failed');
  return plan.state === 'draft' ? plan : null;
});
const newPlan = async (more: object = {}): Promise<RoutePlanDetail> => {
  const asked = await planner.post('route-plans', { fromOn: monday, days: 5, budgetSeconds: 2, ...more });
  expect([asked.status, asked.text]).toEqual([202, expect.any(String)]);
  return settled(asked.body.planId);
};
const placed = (plan: RoutePlanDetail): PlanVisit[] => plan.visitList.filter(({ technicianId }) => technicianId !== null);

describe('technicians, absences, hours of sites', () => {
  it('are the planner’s to write; a technician reads the own alone, an owner reads nothing of them', async () => {
    const { callers, accountIds } = world;
    const profile = { homeLatitude: 60.29, homeLongitude: 5.31, timeZone: 'Europe/Oslo', skills: ['inspection'], shifts: week };
    expect((await callers.technician.post('technicians', { accountId: accountIds.technician, ...profile })).status).toBe(403);
    expect((await planner.post('technicians', { accountId: accountIds.planner, ...profile })).body.errors[0].field).toBe('accountId');
    expect((await planner.post('technicians', { accountId: accountIds.technician, ...profile, shifts: [{ weekday: 1, from: '09:00', to: '08:00' }] })).status).toBe(400);
    for (const accountId of [accountIds.technician, second.id]) {
      const made = await planner.post('technicians', { accountId, ...profile });
      expect([made.status, made.body.id]).toEqual([201, accountId]);
    }
    expect((await planner.post('technicians', { accountId: second.id, ...profile })).status).toBe(400);
    expect((await callers.technician.get('technicians')).body.items.map(({ id }: { id: string }) => id)).toEqual([accountIds.technician]);
    expect((await callers.technician.get(`technicians/${second.id}`)).status).toBe(404);
    expect((await callers.owner.get('technicians')).status).toBe(403);
    expect((await planner.post('absences', { technicianId: second.id, fromOn: '2027-02-02', toOn: '2027-02-01' })).body.errors[0].field).toBe('toOn');
    const window = await planner.post('site-windows', { siteId: sites[0]!.siteId, weekday: 2, opensAt: '12:00', closesAt: '14:00' });
    expect(window.status).toBe(201);
    expect((await planner.post('site-windows', { siteId: world.foreign.siteId, weekday: 2, opensAt: '12:00', closesAt: '14:00' })).status).toBe(400);
  });
});

describe('a plan', () => {
  let plan: RoutePlanDetail;

  it('is made by a job: every safety inspection has a place that keeps hours, roads and the site’s clock', async () => {
    plan = await newPlan();
    expect(placed(plan)).toHaveLength(sites.length);
    expect(plan).toMatchObject({ state: 'draft', fraction: 1, unserved: 0, visits: sites.length });
    expect(plan.iterations).toBeGreaterThan(0);
    for (const route of plan.routes) {
      let leftAt = Date.parse(route.leaveHomeAt ?? route.shiftFrom);
      expect(leftAt).toBeGreaterThanOrEqual(Date.parse(route.shiftFrom));
      for (const visit of route.visitIds.map((id) => plan.visitList.find((one) => one.id === id)!)) {
        const arrive = Date.parse(visit.arriveAt!);
        expect(arrive - leftAt).toBeCloseTo(visit.travelMinutes! * 60_000, -2);
        expect(Date.parse(visit.startAt!)).toBeGreaterThanOrEqual(arrive);
        expect(Date.parse(visit.leaveAt!) - Date.parse(visit.startAt!)).toBe(120 * 60_000);
        leftAt = Date.parse(visit.leaveAt!);
      }
      if (route.endAt !== null) expect(Date.parse(route.endAt)).toBeLessThanOrEqual(Date.parse(route.shiftTo));
      const local = new Intl.DateTimeFormat('en-GB', { timeZone: 'Europe/Oslo', weekday: 'short', hour: '2-digit', minute: '2-digit' });
      expect(local.format(Date.parse(route.shiftFrom))).toMatch(/07:00$/);
    }
    const windowed = placed(plan).find(({ siteId }) => siteId === sites[0]!.siteId)!;
    const hour = new Intl.DateTimeFormat('en-GB', { timeZone: 'Europe/Oslo', weekday: 'short', hour: '2-digit', minute: '2-digit', hourCycle: 'h23' }).format(Date.parse(windowed.startAt!));
    expect(hour).toMatch(/^Tue,? (12:\d\d|13:\d\d|14:00)$/);
    // It was due the day before the plan begins: shown as overdue, not moved out of sight.
    expect(windowed.items[0]).toMatchObject({ kind: 'safety', overdueDays: 2, joins: { code: 'late' } });
    expect(windowed.costs.late).toBe(1500 + 50_000);
    expect(plan.notices.map(({ code }) => code)).toEqual(expect.arrayContaining(['safety-overdue', 'travel-estimated', 'stock-missing']));
  });

  it('says what the vans must carry, against what lies in them', async () => {
    const made = await planner.post('stock-parts', { code: 'LB-1', kind: 'light-beam', name: 'Light beam' });
    expect((await planner.post('stock-parts', { code: 'lb-1', kind: 'light-beam', name: 'Again' })).status).toBe(409);
    const tuesday = placed(plan).find(({ siteId }) => siteId === sites[0]!.siteId)!;
    expect((await planner.post('van-stock', { technicianId: tuesday.technicianId, partId: made.body.id, quantity: 100 })).status).toBe(201);
    expect((await world.callers.technician.post('van-stock', { technicianId: tuesday.technicianId, partId: made.body.id, quantity: 1 })).status).toBe(403);
    for (const route of (await detail(plan.id)).routes.filter(({ visitIds }) => visitIds.length > 0)) {
      const has = route.technicianId === tuesday.technicianId;
      expect(route.carry).toEqual([{ kind: 'light-beam', needed: route.visitIds.length, onVan: has ? expect.any(Number) : 0, missing: has ? 0 : route.visitIds.length }]);
    }
  });

  it('prices a move before it is made, and the price is what the plan then costs', async () => {
    const visit = placed(plan).find(({ siteId }) => siteId === sites[4]!.siteId)!;
    const { places } = (await planner.get(`route-plans/${plan.id}/visits/${visit.id}/moves`)).body;
    const here = places.find((one: { technicianId: string; onDate: string; position: number }) => one.technicianId === visit.technicianId && one.onDate === visit.onDate && one.position === visit.ordinal);
    expect(here.difference).toBeCloseTo(0, 6);
    const other = places.filter((one: { technicianId: string | null; breaches: unknown[]; difference: number }) => one.technicianId !== null && one.breaches.length === 0 && one.difference > 1)[0];
    const before = await detail(plan.id);
    const moved = await planner.post(`route-plans/${plan.id}/visits/${visit.id}/move`, { technicianId: other.technicianId, onDate: other.onDate, position: other.position });
    expect([moved.status, Math.abs(moved.body.cost - before.cost! - other.difference) <= 1]).toEqual([200, true]);
    const window = placed(plan).find(({ siteId }) => siteId === sites[0]!.siteId)!;
    const refused = await planner.post(`route-plans/${plan.id}/visits/${window.id}/move`, { technicianId: window.technicianId, onDate: dateIn(monday, 2) });
    expect([refused.status, refused.body.errors[0].field]).toEqual([409, 'window']);
    expect((await planner.post(`route-plans/${plan.id}/visits/${visit.id}/move`, { technicianId: visit.technicianId, onDate: visit.onDate, position: visit.ordinal })).body.cost).toBe(before.cost);
  });

  it('is accepted and published once; owners see their own visits, technicians theirs, strangers none', async () => {
    const { callers, accountIds } = world;
    expect((await planner.post(`route-plans/${plan.id}/publish`)).status).toBe(409);
    expect((await callers.technician.post(`route-plans/${plan.id}/accept`)).status).toBe(403);
    expect((await callers.owner.get('visits')).body.items).toEqual([]);
    expect((await planner.post(`route-plans/${plan.id}/accept`, {}, { 'if-match': '"1"' })).status).toBe(412);
    expect((await planner.post(`route-plans/${plan.id}/accept`)).body.state).toBe('accepted');
    expect((await planner.post(`route-plans/${plan.id}/publish`)).body).toEqual({ visits: sites.length, orders: sites.length });
    const orders = (await world.database.owner.query(`SELECT door_id, technician_id, planned_on::text AS on, planned_start, kind::text FROM work_order WHERE company_id = $1`, [world.company.companyId])).rows;
    for (const visit of placed(await detail(plan.id))) {
      expect(orders.filter((order) => order.door_id === visit.items[0]!.doorId)).toEqual([
        { door_id: visit.items[0]!.doorId, technician_id: visit.technicianId, on: visit.onDate, planned_start: new Date(visit.startAt!.slice(0, 19) + 'Z'), kind: 'inspection' },
      ]);
    }
    const again = await planner.post(`route-plans/${plan.id}/publish`);
    expect([again.status, again.body.detail]).toEqual([409, 'This plan is published already.']);
    const { rows } = await world.database.owner.query(`SELECT count(*)::int AS n FROM ledger_entry WHERE action = 'route-plan-published' AND subject_id = $1`, [plan.id]);
    expect(rows[0].n).toBe(1);
    const seen = (await callers.owner.get('visits')).body.items;
    expect(seen.map(({ siteId, technicianName }: { siteId: string; technicianName: string | null }) => [siteId, technicianName])).toEqual([[world.fleet.siteId, null]]);
    expect(seen[0].items).toEqual([{ kind: 'safety', doorId: world.fleet.doorId, doorName: 'F-01', title: 'Half-yearly inspection' }]);
    for (const [caller, id] of [[callers.technician, accountIds.technician], [second.caller, second.id]] as const) {
      const mine = (await caller.get('visits')).body.items;
      expect(mine.length).toBe(placed(await detail(plan.id)).filter(({ technicianId }) => technicianId === id).length);
      expect(new Set(mine.map(({ technicianId }: { technicianId: string }) => technicianId)).size).toBeLessThanOrEqual(1);
    }
    expect((await callers.owner.get('route-plans')).status).toBe(403);
    await addAccount(world.database.store, world.otherCompany, 'planner', 'planner@z.example');
    const stranger = await world.api.signIn('planner@z.example');
    expect((await stranger.get(`route-plans/${plan.id}`)).status).toBe(404);
    expect((await stranger.post(`route-plans/${plan.id}/publish`)).status).toBe(404);
    expect((await stranger.get('visits')).body.items).toEqual([]);
  });

  it('is made again when a technician falls ill: what is locked stays, what moves is told before it is accepted', async () => {
    const before = await detail(plan.id);
    const ill = placed(before)[0]!.technicianId!;
    const locked = placed(before).find(({ technicianId }) => technicianId !== ill) ?? null;
    if (locked) expect((await planner.post(`route-plans/${plan.id}/visits/${locked.id}/lock`)).status).toBe(200);
    const absence = await planner.post('absences', { technicianId: ill, fromOn: monday, toOn: dateIn(monday, 6), note: 'ill' });
    expect(absence.status).toBe(201);
    const asked = await planner.post(`route-plans/${plan.id}/replan`, { replanning: { reason: 'ill' }, budgetSeconds: 2 });
    const next = await settled(asked.body.planId);
    expect(next).toMatchObject({ basePlanId: plan.id, replanning: { reason: 'ill' } });
    expect(placed(next).filter(({ technicianId }) => technicianId === ill)).toEqual([]);
    expect(next.routes.filter(({ technicianId }) => technicianId === ill)).toEqual([]);
    if (locked) expect(placed(next).find(({ siteId }) => siteId === locked.siteId)).toMatchObject({ technicianId: locked.technicianId, onDate: locked.onDate, locked: true });
    const difference = (await planner.get(`route-plans/${next.id}/difference`)).body;
    const others = placed(before).filter(({ technicianId }) => technicianId === ill).map(({ siteId }) => siteId).sort();
    const told = [...difference.moved.filter(({ otherRoute }: { otherRoute: boolean }) => otherRoute), ...difference.dropped].map(({ siteId }: { siteId: string }) => siteId).sort();
    expect(told).toEqual(expect.arrayContaining(others));
    expect(difference.moved.every(({ announced }: { announced: boolean }) => announced)).toBe(true);
    const priced = placed(next).filter(({ costs }) => costs.moved > 0).map(({ siteId }) => siteId).sort();
    expect(priced).toEqual(difference.moved.filter(({ otherRoute }: { otherRoute: boolean }) => otherRoute).map(({ siteId }: { siteId: string }) => siteId).sort());
    expect((await detail(plan.id)).state).toBe('published');
    await planner.post(`route-plans/${next.id}/accept`);
    expect((await planner.post(`route-plans/${next.id}/publish`)).status).toBe(200);
    // The same orders, for another technician: none is made twice.
    const orders = (await world.database.owner.query('SELECT technician_id FROM work_order WHERE company_id = $1', [world.company.companyId])).rows;
    expect([orders.length, orders.filter(({ technician_id }) => technician_id === ill).length]).toEqual([sites.length, 0]);
    expect((await detail(plan.id)).state).toBe('superseded');
    expect((await planner.get('visits')).body.items).toHaveLength(placed(next).length);
    await planner.delete(`absences/${absence.body.id}`, absence.body.version);
    plan = next;
  });

  it('takes an urgent repair in, and keeps what has begun where it is', async () => {
    // Not at the site of the repair: work that has begun takes nothing else in.
    const begun = placed(plan).find(({ siteId }) => siteId !== sites[2]!.siteId)!;
    await world.database.owner.query(`UPDATE work_order SET state = 'started', started_at = now(), released_at = now(), steps = '[{}]' WHERE id = $1`, [begun.items[0]!.workOrderId]);
    const found = await planner.post('findings', { doorId: sites[2]!.doorId, severity: 'unsafe', text: 'Bottom edge does not stop the door' });
    expect([found.status, found.text]).toEqual([201, expect.any(String)]);
    const asked = await planner.post(`route-plans/${plan.id}/replan`, { replanning: { reason: 'urgent' }, budgetSeconds: 2 });
    const next = await settled(asked.body.planId);
    const kept = placed(next).find(({ siteId }) => siteId === begun.siteId)!;
    expect(kept).toMatchObject({ technicianId: begun.technicianId, onDate: begun.onDate, startedAt: expect.any(String) });
    const repair = placed(next).find(({ items }) => items.some(({ kind }) => kind === 'finding'))!;
    expect([repair.siteId, repair.onDate]).toEqual([sites[2]!.siteId, monday]);
    expect(repair.items[0]).toMatchObject({ kind: 'finding', joins: { code: 'seen', facts: { grade: 'unsafe' } }, workOrderId: expect.any(String) });
    const difference = (await planner.get(`route-plans/${next.id}/difference`)).body;
    // The repair joins a visit that was planned already: it has other work now, wherever it is.
    const told = [...difference.moved, ...difference.reworked, ...difference.added].map(({ visitId }: { visitId: string }) => visitId);
    expect(difference.unchanged + new Set(told).size).toBe(placed(next).length);
    expect(difference.reworked.map(({ visitId }: { visitId: string }) => visitId)).toContain(repair.id);
    expect(difference.cost).toEqual({ before: plan.cost, after: next.cost });
    expect((await planner.post(`route-plans/${next.id}/discard`)).body.state).toBe('discarded');
  });

  it('cannot be published over another of the same days', async () => {
    const other = await newPlan();
    await planner.post(`route-plans/${other.id}/accept`);
    expect((await planner.post(`route-plans/${other.id}/publish`)).status).toBe(409);
    expect((await planner.post(`route-plans/${other.id}/discard`)).body.state).toBe('discarded');
  });

  it('is stopped when asked, and keeps its best so far', async () => {
    const asked = await planner.post('route-plans', { fromOn: monday, days: 5, budgetSeconds: 300 });
    const { planId } = asked.body;
    await until('a best plan so far', async () => ((await detail(planId)).iterations > 0 ? true : null));
    expect((await detail(planId)).state).toBe('solving');
    expect((await planner.post(`route-plans/${planId}/cancel`)).status).toBe(202);
    const stopped = await settled(planId);
    expect(placed(stopped)).toHaveLength(sites.length);
    expect(stopped.fraction).toBe(1);
    await until('the job to end', async () => ((await planner.get(`jobs/${asked.body.jobId}`)).body.state === 'cancelled' ? true : null));
    expect((await planner.post(`route-plans/${planId}/cancel`)).status).toBe(409);
  });
});

describe('calendars', () => {
  it('hold the published visits of a technician, by a secret address that can be revoked (read back by ical.js)', async () => {
    const visit = (await planner.get('visits')).body.items[0];
    const stranger = visit.technicianId === second.id ? world.callers.technician : second.caller;
    expect((await stranger.post('calendar-feeds', { technicianId: visit.technicianId })).status).toBe(403);
    const made = await planner.post('calendar-feeds', { technicianId: visit.technicianId });
    expect(made.status).toBe(201);
    const { rows } = await world.database.owner.query(`SELECT encode(token_hash, 'base64') AS hash FROM calendar_feed WHERE id = $1`, [made.body.id]);
    expect(rows[0].hash).not.toContain(made.body.path.split('/').at(-1));
    const text = await world.api.ask({ method: 'GET', url: `${made.body.path}.ics` });
    expect([text.status, String(text.headers['content-type'])]).toEqual([200, 'text/calendar; charset=utf-8']);
    const events = new ICAL.Component(ICAL.parse(text.text)).getAllSubcomponents('vevent').map((event) => new ICAL.Event(event));
    const mine = (await planner.get(`visits?technicianId=${visit.technicianId}`)).body.items;
    expect(events.map((event) => [event.summary, event.startDate.toJSDate().toISOString().slice(0, 19), event.endDate.toJSDate().toISOString().slice(0, 19)]))
      .toEqual(mine.map(({ siteName, startAt, leaveAt }: Record<string, string>) => [siteName, startAt!.slice(0, 19), leaveAt!.slice(0, 19)]));
    expect(events[0]!.description).toContain('Half-yearly inspection');
    expect((await planner.ask({ method: 'DELETE', url: `calendar-feeds/${made.body.id}` })).status).toBe(204);
    expect((await world.api.ask({ method: 'GET', url: made.body.path })).status).toBe(404);
    expect((await world.api.ask({ method: 'GET', url: `/api/v1/calendars/${'x'.repeat(43)}` })).status).toBe(404);
  });
});

it('a calendar’s address cannot be guessed at will: strangers are held up', async () => {
  const api = await TestApi.open(world.database.store, { strangerRequestsPerMinute: 3 });
  const guess = async (letter: string) => (await api.ask({ method: 'GET', url: `/api/v1/calendars/${letter.repeat(43)}` })).status;
  expect([await guess('a'), await guess('b'), await guess('c'), await guess('d')]).toEqual([404, 404, 404, 429]);
  await api.close();
});

/** A planner of the other company. */
const strangerOf = () => world.api.signIn('planner@z.example');

describe('travel', () => {
  const settings = { speedKmh: 60, detourFactor: 1.3 };
  let server: Server;
  let asked: string[] = [];
  let answer: 'well' | 'badly' = 'well';
  let travelUrl: string;
  beforeAll(async () => {
    server = createServer((request, response) => {
      asked.push(request.url!);
      if (answer === 'badly') return void response.writeHead(503).end();
      const url = new URL(request.url!, 'http://localhost');
      const points = url.pathname.split('/').at(-1)!.split(';').map((pair) => pair.split(',').map(Number));
      const of = (name: string) => url.searchParams.get(name)!.split(';').map(Number);
      // Seconds and metres by the difference of latitude: a table that can be checked by hand.
      const table = (factor: number) => of('sources').map((from) => of('destinations').map((to) => Math.round(Math.abs(points[from]![1]! - points[to]![1]!) * factor)));
      response.setHeader('content-type', 'application/json');
      return void response.end(JSON.stringify({ code: 'Ok', durations: table(6000), distances: table(100_000) }));
    });
    await new Promise<void>((resolve) => server.listen(0, '127.0.0.1', resolve));
    travelUrl = `http://127.0.0.1:${(server.address() as AddressInfo).port}`;
  });
  afterAll(() => server?.close());

  const places = [0, 1, 2].map((index) => ({ siteId: newId(), latitude: 50 + index / 10, longitude: 5 }));

  it('comes from a routing server once and is kept; a server that fails is noted, and travel is estimated', async () => {
    const { store } = world.database;
    const first = await travelMatrix(store, world.company, places, { ...settings, travelUrl });
    expect(first).toEqual({ minutes: [[0, 10, 20], [10, 0, 10], [20, 10, 0]], km: [[0, 10, 20], [10, 0, 10], [20, 10, 0]], notices: [] });
    expect(asked[0]).toMatch(/^\/table\/v1\/driving\/5\.00000,50\.00000;.*annotations=duration,distance/);
    asked = [];
    expect(await travelMatrix(store, world.company, places, { ...settings, travelUrl })).toEqual(first);
    expect(asked).toEqual([]);
    answer = 'badly';
    const more = [...places, { siteId: newId(), latitude: 51, longitude: 5 }];
    const fallen = await travelMatrix(store, world.company, more, { ...settings, travelUrl });
    expect(fallen.notices.map(({ code }) => code)).toEqual(['travel-server-failed', 'travel-estimated']);
    expect(fallen.minutes[0]!.slice(0, 3)).toEqual([0, 10, 20]);
    // One degree of latitude is 111.2 km on a sphere of 6371.0088 km.
    expect(fallen.km[0]![3]).toBeCloseTo(111.195 * 1.3, 1);
    expect(fallen.minutes[0]![3]).toBeCloseTo(111.195 * 1.3, 1);
  });

  it('is asked for in blocks, and given up when it takes too long', async () => {
    answer = 'well';
    asked = [];
    const many = Array.from({ length: 101 }, (_, index) => ({ siteId: newId(), latitude: 40 + index / 100, longitude: 7 }));
    const matrix = await travelMatrix(world.database.store, world.company, many, { ...settings, travelUrl });
    expect(asked).toHaveLength(9);
    expect(matrix.minutes[0]![100]).toBe(100);
    const slow = createServer(() => undefined);
    await new Promise<void>((resolve) => slow.listen(0, '127.0.0.1', resolve));
    const url = `http://127.0.0.1:${(slow.address() as AddressInfo).port}`;
    const late = await travelMatrix(world.database.store, world.company, [{ siteId: newId(), latitude: 1, longitude: 1 }, { siteId: newId(), latitude: 2, longitude: 1 }], { ...settings, travelUrl: url, timeoutMs: 200 });
    expect(late.notices[0]).toMatchObject({ code: 'travel-server-failed' });
    slow.closeAllConnections();
    slow.close();
  });

  it('is given as a list, whose bad lines are named and whose good ones come before any server', async () => {
    const text = 'from,to,minutes,km\nSite,Site B,77,50\nSite,Nowhere,5,1\nSite B,Site,-1,2\nSite C,Site,33\n';
    const taken = await planner.post('travel-times', { text });
    expect(taken.body).toEqual({ accepted: 2, refusedLines: 2, refused: [
      { line: 3, field: 'to', message: "there is no site and no technician 'Nowhere'" },
      { line: 4, field: 'minutes', message: 'must be a number of 0 to 10000' },
    ] });
    const given = [0, 1].map((index) => ({ siteId: sites[index]!.siteId, latitude: 60 + index, longitude: 5 }));
    const matrix = await travelMatrix(world.database.store, world.company, given, { ...settings, travelUrl: null });
    expect([matrix.minutes[0]![1], matrix.km[0]![1]]).toEqual([77, 50]);
    expect(matrix.minutes[1]![0]).toBeGreaterThan(100);
    expect((await world.callers.technician.post('travel-times', { text })).status).toBe(403);
  });

  it('is listed with when it was given, is replaced pair by pair, and cleared at once', async () => {
    const { items } = (await planner.get('travel-times')).body;
    expect(items.map(({ fromName, toName, minutes, km }: Record<string, unknown>) => [fromName, toName, minutes, km])).toEqual([['Site', 'Site B', 77, 50], ['Site C', 'Site', 33, null]]);
    expect(Math.abs(Date.parse(items[0].givenAt) - Date.now())).toBeLessThan(120_000);
    const again = await planner.post('travel-times', { text: 'from,to,minutes\nsite,SITE B,70\nSite,Site B,71\n' });
    expect(again.body).toEqual({ accepted: 1, refusedLines: 0, refused: [] });
    const [first] = (await planner.get('travel-times?q=site b')).body.items;
    expect([first.minutes, first.km, first.id, first.givenAt > items[0].givenAt]).toEqual([71, null, items[0].id, true]);
    for (const [text, refused] of [
      ['start,to,minutes\nSite,Site B,5\n', { line: 1, field: 'from', message: "the header has no column 'from'" }],
      ['from,to,minutes\n', { line: 1, field: 'text', message: 'there is no line below the header' }],
    ] as const) expect((await planner.post('travel-times', { text })).body).toEqual({ accepted: 0, refusedLines: 1, refused: [refused] });
    const many = await planner.post('travel-times', { text: `from,to,minutes\n${'Nowhere,Site,1\n'.repeat(600)}` });
    expect([many.body.refusedLines, many.body.refused.length]).toEqual([600, 500]);
    for (const role of ['technician', 'owner'] as const) {
      expect((await world.callers[role].get('travel-times')).status).toBe(403);
      expect((await world.callers[role].ask({ method: 'DELETE', url: 'travel-times' })).status).toBe(403);
    }
    const { store } = world.database;
    expect((await (await strangerOf()).ask({ method: 'DELETE', url: 'travel-times' })).body).toEqual({ removed: 0 });
    expect((await planner.ask({ method: 'DELETE', url: 'travel-times' })).body).toEqual({ removed: 2 });
    expect((await planner.get('travel-times')).body.items).toEqual([]);
    const given = [0, 1].map((index) => ({ siteId: sites[index]!.siteId, latitude: 60 + index, longitude: 5 }));
    expect((await travelMatrix(store, world.company, given, { ...settings, travelUrl: null })).minutes[0]![1]).toBeGreaterThan(100);
    const { rows } = await world.database.owner.query(`SELECT detail FROM ledger_entry WHERE action = 'travel-times-cleared'`);
    expect(rows.map(({ detail: { legs } }) => legs)).toEqual([2]);
  });
});
