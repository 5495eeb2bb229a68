import { afterAll, beforeAll, beforeEach, describe, expect, test } from 'vitest';
import type { Caller } from '../support/api.js';
import { openApiWorld, type ApiWorld } from '../support/apiWorld.js';

let world: ApiWorld;
let planner: Caller;
let administrator: Caller;
beforeAll(async () => {
  world = await openApiWorld();
  ({ planner, administrator } = world.callers);
});
afterAll(() => world?.close());

const outbox = async (job: string): Promise<Record<string, unknown>[]> =>
  (await world.database.owner.query('SELECT payload FROM outbox WHERE job = $1 AND company_id = $2', [job, world.company.companyId]))
    .rows.map(({ payload }) => payload);
const ledger = async (subjectId: string): Promise<{ action: string; detail: Record<string, unknown>; accountId: string }[]> =>
  (await planner.get(`ledger?subjectId=${subjectId}&limit=100`)).body.items;
beforeEach(() => world.database.owner.query('DELETE FROM outbox'));

describe('a row', () => {
  test('is made with Location and ETag, changed under its version, and archived', async () => {
    const made = await planner.post('owners', { name: '  Cold House  ', email: 'Office@Cold.Example' });
    expect([made.status, made.headers['etag'], made.headers['location']]).toEqual([201, '"1"', `/api/v1/owners/${made.body.id}`]);
    expect(made.body).toMatchObject({ name: 'Cold House', email: 'office@cold.example', phone: null, archived: false, version: 1 });
    const changed = await planner.patch(`owners/${made.body.id}`, 1, { phone: '+47 1', email: null });
    expect([changed.status, changed.headers['etag'], changed.body.phone, changed.body.email]).toEqual([200, '"2"', '+47 1', null]);
    expect((await planner.delete(`owners/${made.body.id}`, 2)).status).toBe(204);
    expect((await planner.get(`owners/${made.body.id}`)).body.archived).toBe(true);
    expect((await planner.delete(`owners/${made.body.id}`, 3)).status).toBe(409);
    const entries = await ledger(made.body.id);
    expect(entries.map(({ action }) => action)).toEqual(['owner-archived', 'owner-changed', 'owner-added']);
    expect(entries[1]).toMatchObject({ accountId: world.accountIds.planner, detail: { phone: '+47 1', email: null } });
  });

  test('is not overwritten by a stale change, which is told how it stands', async () => {
    const { body: site } = await planner.get(`sites/${world.fleet.siteId}`);
    expect((await planner.patch(`sites/${site.id}`, site.version, { name: 'First' })).status).toBe(200);
    const stale = await planner.patch(`sites/${site.id}`, site.version, { name: 'Second', address: 'lost?' });
    expect([stale.status, stale.body.type, stale.body.current.name]).toEqual([412, 'urn:lintel:problem:stale', 'First']);
    expect((await planner.get(`sites/${site.id}`)).body).toEqual(stale.body.current);
    expect((await ledger(site.id)).filter(({ action }) => action === 'site-changed').length).toBe(1);
    const archive = await planner.delete(`sites/${site.id}`, site.version);
    expect(archive.status).toBe(412);
  });

  test('is changed by one of many who ask at once', async () => {
    const { body: owner } = await planner.post('owners', { name: 'Race' });
    const answers = await Promise.all(Array.from({ length: 8 }, (_, number) => planner.patch(`owners/${owner.id}`, 1, { phone: String(number) })));
    expect(answers.map(({ status }) => status).toSorted((a, b) => a - b)).toEqual([200, ...Array(7).fill(412)]);
    const winner = answers.findIndex(({ status }) => status === 200);
    expect((await planner.get(`owners/${owner.id}`)).body).toMatchObject({ phone: String(winner), version: 2 });
  });

  test('asks for If-Match, and for one that is a version', async () => {
    const url = `owners/${world.fleet.ownerId}`;
    const missing = await planner.ask({ method: 'PATCH', url, body: { phone: '1' } });
    expect([missing.status, missing.body.type]).toEqual([428, 'urn:lintel:problem:version-required']);
    expect((await planner.ask({ method: 'DELETE', url })).status).toBe(428);
    for (const ifMatch of ['*', '1', 'W/"1"', '"one"', '"0"', '"1", "2"']) {
      const answer = await planner.ask({ method: 'PATCH', url, body: { phone: '1' }, headers: { 'if-match': ifMatch } });
      expect([ifMatch, answer.status, answer.body.errors[0].field]).toEqual([ifMatch, 400, 'If-Match']);
    }
    expect((await planner.get(url)).body.version).toBe(1);
  });

  test('names each field that is wrong', async () => {
    const site = { ownerId: world.fleet.ownerId, name: '', countryCode: 'no', timeZone: 'Europe/Atlantis', colour: 'red', regimeMonths: 0 };
    const answer = await planner.post('sites', site);
    expect(answer.status).toBe(400);
    expect(answer.body.errors.map(({ field }: { field: string }) => field).sort()).toEqual(['colour', 'countryCode', 'name', 'regimeMonths', 'regimeSource', 'timeZone']);
  });

  test('keeps the rules that look at several fields also through a change of one', async () => {
    const { fleet, taskId } = world;
    const regime = await planner.patch(`sites/${fleet.siteId}`, 2, { regimeMonths: 6 });
    expect([regime.status, regime.body.errors[0].field]).toEqual([400, 'regimeSource']);
    const months = await planner.patch(`positions/${fleet.chainPositionId}`, 1, { b10Months: 60 });
    expect([months.status, months.body.errors[0].field]).toEqual([400, 'b10Months']);
    const task = await planner.patch(`tasks/${taskId}`, 1, { intervalMonths: null, intervalCycles: 5000 });
    expect([task.status, task.body.errors[0].field]).toEqual([400, 'intervalMonths']);
    expect((await planner.patch(`tasks/${taskId}`, 1, { anchor: 'fixed' })).body.errors[0].field).toBe('fixedFrom');
  });

  test('cannot take a name that is taken, and says which field that is', async () => {
    const answer = await planner.post('owners', { name: 'Owner' });
    expect([answer.status, answer.body.errors]).toEqual([409, [{ field: 'name', message: 'an owner of this name exists already' }]]);
    const task = await planner.post('tasks', { planId: world.planId, name: 'Yearly inspection', intervalMonths: 1, minutes: 5, source: 'x' });
    expect(task.body.errors[0].field).toBe('name');
  });

  test('that is still in use is not archived', async () => {
    const { fleet } = world;
    for (const path of [`owners/${fleet.ownerId}`, `sites/${fleet.siteId}`, `door-types/${fleet.doorTypeId}`, `positions/${fleet.chainPositionId}`]) {
      const { body } = await planner.get(path);
      const answer = await planner.delete(path, body.version);
      expect([path, answer.status, answer.body.type]).toEqual([path, 409, 'urn:lintel:problem:in-use']);
      expect((await planner.get(path)).body.archived).toBe(false);
    }
  });
});

describe('what follows from a change', () => {
  test('a rating, a plan, a task, a regime and a shortest cycle ask for the company, a name does not', async () => {
    const { fleet, planId, taskId } = world;
    await planner.patch(`positions/${fleet.beamPositionId}`, 1, { name: 'Beam' });
    await planner.patch(`door-types/${fleet.doorTypeId}`, 1, { notes: 'x' });
    expect(await outbox('project-company')).toEqual([]);
    const changes: [string, object][] = [
      [`positions/${fleet.chainPositionId}`, { b10Cycles: 400_000 }], [`plans/${planId}`, { name: 'Plan 2' }], [`tasks/${taskId}`, { intervalMonths: 6 }],
      [`sites/${fleet.siteId}`, { regimeMonths: 6, regimeSource: 'test' }], [`door-types/${fleet.doorTypeId}`, { minCycleSeconds: 7.5 }],
    ];
    for (const [path, change] of changes) {
      await world.database.owner.query('DELETE FROM outbox');
      const { body } = await planner.get(path);
      expect((await planner.patch(path, body.version, change)).status).toBe(200);
      expect([path, await outbox('project-company')]).toEqual([path, [{}]]);
    }
  });

  test('a refused change leaves neither a job nor a ledger entry', async () => {
    const before = (await planner.get('ledger?count=true')).body.total;
    const made = await planner.post('doors', { siteId: world.fleet.siteId, doorTypeId: world.fleet.doorTypeId, name: 'F-01', installedOn: '2026-01-01' });
    expect([made.status, made.body.errors[0].field]).toEqual([409, 'name']);
    expect(await outbox('project-door')).toEqual([]);
    expect((await planner.get('ledger?count=true')).body.total).toBe(before);
  });
});

describe('a door', () => {
  test('comes with a counter and a part in each position, in the size of its type', async () => {
    const { fleet } = world;
    const made = await planner.post('doors', { siteId: fleet.siteId, doorTypeId: fleet.doorTypeId, name: 'F-02', installedOn: '2026-02-03' });
    expect(made.body).toMatchObject({ widthMm: 3000, heightMm: 3500, state: 'in-service', condition: 'unknown', installedOn: '2026-02-03' });
    const counters = await planner.get(`counters?doorId=${made.body.id}`);
    expect(counters.body.items).toMatchObject([{ fitted: true, startCycles: 0, fittedAt: '2026-02-03T00:00:00Z' }]);
    const parts = await planner.get(`fitted-parts?doorId=${made.body.id}`);
    expect(parts.body.items.map(({ kind }: { kind: string }) => kind)).toEqual(['drive-chain', 'light-beam']);
    expect(await outbox('project-door')).toEqual([{ doorId: made.body.id }]);
  });

  test('leads between zones of its own site alone', async () => {
    const { fleet, otherOwner } = world;
    const zone = await planner.post('zones', { siteId: otherOwner.siteId, name: 'Elsewhere', temperatureClass: 'ambient' });
    const { body } = await planner.get(`doors/${fleet.doorId}`);
    const answer = await planner.patch(`doors/${fleet.doorId}`, body.version, { fromZoneId: zone.body.id });
    expect([answer.status, answer.body.errors?.[0]?.field]).toEqual([400, 'fromZoneId']);
  });

  test('goes out of service, back, and for good', async () => {
    const { fleet } = world;
    const made = await planner.post('doors', { siteId: fleet.siteId, doorTypeId: fleet.doorTypeId, name: 'F-03', installedOn: '2026-02-03' });
    const url = `doors/${made.body.id}`;
    const out = await planner.post(`${url}/state`, { state: 'out-of-service', reason: 'torn panel' });
    expect(out.body).toMatchObject({ state: 'out-of-service', stateReason: 'torn panel', version: 2 });
    expect((await planner.post(`${url}/state`, { state: 'in-service', reason: 'x' }, { 'if-match': '"1"' })).status).toBe(412);
    expect((await planner.post(`${url}/state`, { state: 'in-service', reason: 'mended' }, { 'if-match': '"2"' })).status).toBe(200);
    expect((await planner.post(`${url}/state`, { state: 'decommissioned', reason: 'x' })).status).toBe(400);
    expect((await planner.post(`${url}/decommission`, { reason: 'scrapped' })).body.state).toBe('decommissioned');
    expect((await planner.post(`${url}/state`, { state: 'in-service', reason: 'x' })).status).toBe(409);
    expect((await planner.get(`counters?doorId=${made.body.id}`)).body.items.length).toBe(1);
    expect((await ledger(made.body.id)).map(({ action }) => action)).toEqual(['door-decommissioned', 'door-state-set', 'door-state-set', 'door-added']);
  });

  test('has one running counter and one part in a position', async () => {
    const { fleet } = world;
    const counter = await planner.post('counters', { doorId: fleet.doorId, fittedAt: '2026-01-01T00:00:00Z' });
    expect([counter.status, counter.body.errors[0].field]).toEqual([409, 'doorId']);
    const early = await planner.post(`counters/${fleet.counterId}/remove`, { at: '2020-01-01T00:00:00Z' });
    expect([early.status, early.body.errors[0].field]).toEqual([400, 'at']);
    expect((await planner.post(`counters/${fleet.counterId}/remove`, { at: '2026-01-01T01:00:00+01:00' })).body).toMatchObject({ fitted: false, removedAt: '2026-01-01T00:00:00Z' });
    expect((await planner.post(`counters/${fleet.counterId}/remove`, { at: '2026-01-01T00:00:00Z' })).status).toBe(409);
    expect((await planner.post('counters', { doorId: fleet.doorId, fittedAt: '2026-01-01T00:00:00Z', modulus: 1_000_000 })).status).toBe(201);
    const part = await planner.post('fitted-parts', { doorId: fleet.doorId, positionId: fleet.chainPositionId, fittedAt: '2026-01-01T00:00:00Z' });
    expect([part.status, part.body.errors[0].field]).toEqual([409, 'positionId']);
    const foreignPosition = await planner.post('fitted-parts', { doorId: fleet.doorId, positionId: world.otherOwner.chainPositionId, fittedAt: '2026-01-01T00:00:00Z' });
    expect(foreignPosition.body.errors[0].field).toBe('positionId');
  });
});

describe('a door type from the library', () => {
  test('brings its positions, plan and tasks', async () => {
    const library = await planner.get('door-type-library');
    const freezer = library.body.items.find(({ kind }: { kind: string }) => kind === 'freezer');
    const made = await planner.post('door-types/from-library', { kind: 'freezer', name: 'Our freezer door' });
    expect(made.status).toBe(201);
    expect(made.body).toMatchObject({ kind: 'freezer', name: 'Our freezer door', positions: freezer.positions.length });
    expect((await planner.get(`plans?doorTypeId=${made.body.id}`)).body.items).toMatchObject([{ tasks: freezer.plans[0].tasks.length }]);
    expect((await planner.post('door-types/from-library', { kind: 'barn' })).status).toBe(400);
  });
});

describe('accounts', () => {
  test('are made, changed and closed by an administrator; a closed one is out at once', async () => {
    const account = { email: 'New@A.example', name: 'New', role: 'planner', password: 'a long enough word' };
    const made = await administrator.post('accounts', account);
    expect([made.status, made.body.email, JSON.stringify(made.body)]).toEqual([201, 'new@a.example', expect.not.stringContaining('password')]);
    const entries = await ledger(made.body.id);
    expect(JSON.stringify(entries)).not.toContain('a long enough word');
    const person = await world.api.signIn('new@a.example');
    expect((await person.get('doors')).status).toBe(200);
    expect((await administrator.patch(`accounts/${made.body.id}`, 1, { active: false })).status).toBe(200);
    expect((await person.get('doors')).status).toBe(401);
    await expect(world.api.signIn('new@a.example')).rejects.toThrow('401');
    expect((await administrator.post('accounts', account)).body.errors[0].field).toBe('email');
  });

  test('a new password ends the old sessions, and neither it nor its hash is in the ledger', async () => {
    const made = await administrator.post('accounts', { email: 'pw@a.example', name: 'P', role: 'technician', password: 'a long enough word' });
    const person = await world.api.signIn('pw@a.example');
    expect((await administrator.patch(`accounts/${made.body.id}`, 1, { password: 'another long word' })).status).toBe(200);
    expect((await person.get('doors')).status).toBe(401);
    const entries = JSON.stringify(await ledger(made.body.id));
    expect(entries).toContain('account-changed');
    expect(entries).not.toMatch(/another long word|argon2/);
  });

  test('go with an owner exactly for role owner, and one administrator always stays', async () => {
    const account = { email: 'o@a.example', name: 'O', role: 'owner', password: 'a long enough word' };
    expect((await administrator.post('accounts', account)).body.errors[0].field).toBe('ownerId');
    expect((await administrator.post('accounts', { ...account, role: 'planner', ownerId: world.fleet.ownerId })).body.errors[0].field).toBe('ownerId');
    const self = `accounts/${world.accountIds.administrator}`;
    expect((await administrator.patch(self, 1, { role: 'planner' })).status).toBe(409);
    expect((await administrator.patch(self, 1, { active: false })).status).toBe(409);
    expect((await administrator.get('session')).status).toBe(200);
  });
});

describe('jobs', () => {
  test('are asked for, seen, cancelled and run again', async () => {
    const asked = await planner.post('projections');
    expect([asked.status, asked.headers['location']]).toEqual([202, `/api/v1/jobs/${asked.body.jobId}`]);
    const url = `jobs/${asked.body.jobId}`;
    expect((await planner.get(url)).body).toMatchObject({ job: 'project-company', state: 'waiting' });
    expect((await planner.post(`${url}/retry`)).status).toBe(409);
    expect((await planner.post(`${url}/cancel`)).body.state).toBe('cancelled');
    expect((await planner.post(`${url}/cancel`)).status).toBe(409);
    const again = await planner.post(`${url}/retry`);
    expect([again.status, again.body.state]).toEqual([202, 'waiting']);
    const { rows } = await world.database.owner.query('SELECT handed_at, done_at, hands FROM outbox WHERE id = $1', [asked.body.jobId]);
    expect(rows).toEqual([{ handed_at: null, done_at: null, hands: 0 }]);
    expect((await planner.get('jobs/019ad0a0-0000-7000-8000-000000000000')).status).toBe(404);
  });
});

describe('completions', () => {
  test('are facts: noted once, never changed, of a task of the door\'s type, not in the future', async () => {
    const { fleet, otherOwner, taskId } = world;
    const completion = { doorId: fleet.doorId, taskId, doneAt: '2026-03-01T09:00:00Z', lifetimeCycles: 5000, passed: false, note: 'beam dirty' };
    const made = await planner.post('completions', completion);
    expect([made.status, made.body.passed, made.body.lifetimeCycles]).toEqual([201, false, 5000]);
    expect(await outbox('project-door')).toEqual([{ doorId: fleet.doorId }]);
    expect((await planner.post('completions', completion)).body.errors[0].field).toBe('doneAt');
    expect((await planner.patch(`completions/${made.body.id}`, 1, { passed: true })).status).toBe(405);
    expect((await planner.delete(`completions/${made.body.id}`, 1)).status).toBe(405);
    expect((await planner.post('completions', { ...completion, doorId: otherOwner.doorId })).body.errors[0].field).toBe('taskId');
    expect((await planner.post('completions', { ...completion, doneAt: '2999-01-01T00:00:00Z' })).body.errors[0].field).toBe('doneAt');
  });
});
