import { KnownRoutes } from '@lintel/api';
import { newId } from '@lintel/store';
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import type { Request, Role } from '../support/api.js';
import { openApiWorld, type ApiWorld } from '../support/apiWorld.js';

let world: ApiWorld;
beforeAll(async () => {
  world = await openApiWorld();
});
afterAll(() => world?.close());

const openRoutes = new Set([
  'GET /health', 'GET /ready', 'GET /metrics', 'GET /api/v1/openapi.json', 'POST /api/v1/session', 'GET /certificates/:number',
  'GET /api/v1/calendars/:token',
]);

describe('without a session', () => {
  test('every route but the open ones answers 401 with problem details', async () => {
    const routes = world.api.app.get(KnownRoutes).all().filter(({ method }) => method !== 'HEAD' && method !== 'OPTIONS');
    expect(routes.length).toBeGreaterThan(60);
    const wrong: string[] = [];
    for (const { path, method } of routes) {
      if (openRoutes.has(`${method} ${path}`)) continue;
      const answer = await world.api.ask({ method: method as Request['method'], url: path.replace(':id', newId()), ...bodyFor(method) });
      if (answer.status !== 401 || answer.body?.type !== 'urn:lintel:problem:not-signed-in') wrong.push(`${method} ${path} ${answer.status}`);
    }
    expect(wrong).toEqual([]);
  });

  test('a made-up cookie opens nothing', async () => {
    const answer = await world.api.ask({ method: 'GET', url: 'doors', headers: { cookie: `lintel_session=${'A'.repeat(43)}` } });
    expect(answer.status).toBe(401);
  });
});

const bodyFor = (method: string) => (method === 'POST' || method === 'PATCH' || method === 'PUT' ? { body: {} } : {});

describe('another company', () => {
  test('cannot be read by any id, whatever the role', async () => {
    const { foreign, callers } = world;
    const paths = [
      `owners/${foreign.ownerId}`, `sites/${foreign.siteId}`, `door-types/${foreign.doorTypeId}`,
      `positions/${foreign.chainPositionId}`, `doors/${foreign.doorId}`, `doors/${foreign.doorId}/duty`,
      `counters/${foreign.counterId}`, `fitted-parts/${foreign.chainId}`,
    ];
    for (const path of paths) expect((await callers.administrator.get(path)).status, path).toBe(404);
    const own = await callers.administrator.get('doors?count=true');
    expect(own.body.total).toBe(2);
  });

  test('cannot be changed, archived or hung onto', async () => {
    const { foreign, callers, fleet, database } = world;
    const { administrator } = callers;
    expect((await administrator.patch(`doors/${foreign.doorId}`, 1, { name: 'taken' })).status).toBe(404);
    expect((await administrator.delete(`owners/${foreign.ownerId}`, 1)).status).toBe(404);
    expect((await administrator.post(`doors/${foreign.doorId}/decommission`, { reason: 'x' })).status).toBe(404);
    expect((await administrator.post(`doors/${foreign.doorId}/state`, { state: 'out-of-service', reason: 'x' })).status).toBe(404);
    expect((await administrator.post(`counters/${foreign.counterId}/remove`, { at: '2026-01-01T00:00:00Z' })).status).toBe(404);
    expect((await administrator.post(`fitted-parts/${foreign.chainId}/remove`, { at: '2026-01-01T00:00:00Z', reason: 'worn' })).status).toBe(404);
    const hung = await administrator.post('zones', { siteId: foreign.siteId, name: 'Z', temperatureClass: 'cooler' });
    expect([hung.status, hung.body.errors?.[0]?.field]).toEqual([400, 'siteId']);
    const door = { siteId: fleet.siteId, doorTypeId: foreign.doorTypeId, name: 'X', installedOn: '2026-01-01' };
    expect((await administrator.post('doors', door)).body.errors?.[0]?.field).toBe('doorTypeId');
    const readings = await administrator.post('readings', { readings: [{ doorId: foreign.doorId, at: '2026-01-01T00:00:00Z', value: 5 }] });
    expect(readings.body).toMatchObject({ accepted: 0, refused: [{ index: 0, field: 'doorId' }] });
    const { rows } = await database.owner.query('SELECT name, state, version FROM door WHERE id = $1', [foreign.doorId]);
    expect(rows).toEqual([{ name: 'F-01', state: 'in_service', version: 1 }]);
  });
});

describe('an owner', () => {
  test('sees its own sites alone, in every list and by every id', async () => {
    const { owner } = world.callers;
    const { fleet, otherOwner } = world;
    for (const [list, own] of [['owners', fleet.ownerId], ['sites', fleet.siteId], ['doors', fleet.doorId], ['counters', fleet.counterId], ['fitted-parts', fleet.chainId]] as const) {
      const { body } = await owner.get(`${list}?count=true`);
      expect([list, body.items.map((item: { id: string }) => item.id), body.total]).toEqual([list, [own], 1]);
    }
    for (const path of [`owners/${otherOwner.ownerId}`, `sites/${otherOwner.siteId}`, `doors/${otherOwner.doorId}`, `doors/${otherOwner.doorId}/duty`, `counters/${otherOwner.counterId}`, `fitted-parts/${otherOwner.chainId}`]) {
      expect((await owner.get(path)).status, path).toBe(404);
    }
    const outlook = await owner.get('outlook');
    expect(outlook.body.totals.doors).toBe(1);
  });

  test('sees readings, completions and due items of its own doors alone', async () => {
    const { company, database, fleet, otherOwner, taskId, callers } = world;
    const { companyId } = company;
    await database.store.withCompany(company, async (db) => {
      for (const { doorId, counterId } of [fleet, otherOwner]) {
        await db.reading.create({ data: { companyId, id: newId(), doorId, counterId, at: new Date('2026-02-01'), value: 1000n, source: 'form' } });
        await db.completion.create({ data: { companyId, id: newId(), doorId, taskId, doneAt: new Date('2026-02-01') } });
        const on = new Date('2026-03-01');
        await db.dueItem.create({ data: { companyId, doorId, taskId, safety: true, earliestOn: on, dueOn: on, latestOn: on, why: {}, projectedAt: new Date() } });
      }
    });
    for (const list of ['readings', 'completions', 'due-items']) {
      const seen = await callers.owner.get(`${list}?count=true`);
      expect([list, seen.body.total, seen.body.items[0]?.doorId]).toEqual([list, 1, fleet.doorId]);
      expect((await callers.planner.get(`${list}?count=true`)).body.total).toBe(2);
    }
    const outlook = await callers.owner.get('outlook');
    expect(outlook.body.totals.overdueSafety).toBe(1);
    expect(outlook.body.overdueSafety.map((item: { doorId: string }) => item.doorId)).toEqual([fleet.doorId]);
  });
});

describe('roles', () => {
  const anyId = '019ad0a0-0000-7000-8000-000000000000';
  const refused: [Role, Request['method'], string, unknown?][] = [
    ['technician', 'GET', 'accounts'],
    ['technician', 'POST', 'accounts', {}],
    ['technician', 'POST', 'owners', { name: 'x' }],
    ['technician', 'POST', 'plans', {}],
    ['technician', 'PATCH', `sites/${anyId}`, {}],
    ['technician', 'PUT', `readings/${anyId}/overrule`, { use: true, note: 'x' }],
    ['technician', 'POST', 'imports?kind=readings&fileName=x.csv', {}],
    ['technician', 'POST', 'projections', {}],
    ['technician', 'POST', `jobs/${anyId}/retry`, {}],
    ['technician', 'POST', `doors/${anyId}/decommission`, { reason: 'x' }],
    ['planner', 'GET', 'accounts'],
    ['planner', 'POST', 'accounts', {}],
    ['planner', 'PATCH', `accounts/${anyId}`, {}],
    ['owner', 'GET', 'accounts'],
    ['owner', 'GET', 'people'],
    ['owner', 'GET', 'jobs'],
    ['owner', 'GET', 'ledger'],
    ['owner', 'GET', 'imports'],
    ['owner', 'POST', 'readings', { readings: [] }],
    ['owner', 'POST', 'completions', {}],
    ['owner', 'POST', `doors/${anyId}/state`, {}],
    ['owner', 'PATCH', `tasks/${anyId}`, {}],
    ['owner', 'DELETE', `sites/${anyId}`],
  ];
  test.each(refused)('%s may not %s %s', async (role, method, url, body) => {
    const answer = await world.callers[role].ask({ method, url, ...(body === undefined ? {} : { body }) });
    expect([answer.status, answer.body.type]).toEqual([403, 'urn:lintel:problem:forbidden']);
  });

  test('a technician records a reading, a completion and a change of part', async () => {
    const { technician } = world.callers;
    const { fleet, taskId } = world;
    const reading = await technician.post('readings', { readings: [{ doorId: fleet.doorId, at: '2026-04-01T08:00:00Z', value: 2000 }], source: 'form' });
    expect(reading.body).toEqual({ accepted: 1, unchanged: 0, refused: [] });
    const completion = await technician.post('completions', { doorId: fleet.doorId, taskId, doneAt: '2026-04-01T09:00:00Z' });
    expect([completion.status, completion.body.accountName]).toEqual([201, 'Test technician']);
    const removed = await technician.post(`fitted-parts/${fleet.chainId}/remove`, { at: '2026-04-01T10:00:00Z', reason: 'worn', cycles: 90_000 });
    expect(removed.body).toMatchObject({ fitted: false, removalReason: 'worn', removedCycles: 90_000 });
    const fitted = await technician.post('fitted-parts', { doorId: fleet.doorId, positionId: fleet.chainPositionId, fittedAt: '2026-04-01T10:30:00Z' });
    expect(fitted.status).toBe(201);
  });
});
