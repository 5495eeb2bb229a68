import * as contract from '@lintel/contract';
import { newId } from '@lintel/store';
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import type { z } from 'zod';
import { openApiWorld, type ApiWorld } from '../support/apiWorld.js';

let world: ApiWorld;
/** Doors of one owner: 60 with the same due date, so that sorting by it is all ties. */
const tied = 60;

beforeAll(async () => {
  world = await openApiWorld();
  const { company, fleet, database, taskId } = world;
  const { companyId } = company;
  const on = new Date('2027-01-31');
  const past = new Date('2026-01-31');
  const at = new Date();
  await database.store.withCompany(company, async (db) => {
    for (let number = 0; number < tied; number++) {
      const id = newId();
      await db.door.create({
        data: {
          companyId, id, siteId: fleet.siteId, doorTypeId: fleet.doorTypeId, name: `T-${String(number).padStart(2, '0')}`,
          serial: `SN%_${number}`, widthMm: 2000, heightMm: 2500, installedOn: new Date('2025-06-01'),
          state: number % 3 === 0 ? 'out_of_service' : 'in_service',
        },
      });
      await db.doorOutlook.create({
        data: {
          companyId, doorId: id, condition: number % 2 === 0 ? 'worn' : 'sound', chance90: number / 100, nextDueOn: on,
          nextTaskId: taskId, safetyLatestOn: number === 7 ? past : on, projectedAt: at,
        },
      });
    }
    await db.doorDuty.create({
      data: {
        companyId, doorId: fleet.doorId, model: {}, lifetimeCycles: 123_456n, cyclesPerDay10: 80, cyclesPerDay: 100, cyclesPerDay90: 120,
        readings: 3, setAside: 0, observedCycles: 1, observedDays: 1, projectedAt: at, lastReadingAt: at,
      },
    });
    await db.partOutlook.create({
      data: {
        companyId, fittedPartId: fleet.chainId, doorId: fleet.doorId, unit: 'cycles', age: 5, remaining10: 1, remaining50: 2, remaining90: 3,
        endsOn10: on, endsOn50: on, endsOn90: on, chance30: 0.1, chance90: 0.2, chance365: 0.9, condition: 'wearing', projectedAt: at,
      },
    });
    await db.reading.create({ data: { companyId, id: newId(), doorId: fleet.doorId, counterId: fleet.counterId, at: new Date('2026-05-06T07:08:09.010Z'), value: 42n, source: 'form' } });
    await db.completion.create({ data: { companyId, id: newId(), doorId: fleet.doorId, taskId, doneAt: new Date('2026-05-06') } });
    const why = { rule: 'calendar', basis: { kind: 'in-service', on: '2025-06-01', lifetimeCycles: 0 }, interval: 12, tightenedByRegime: false, cyclesToGo: null, quantile: null, lastReadingAt: null, otherRuleDue: null };
    await db.dueItem.create({ data: { companyId, doorId: fleet.doorId, taskId, safety: true, earliestOn: past, dueOn: past, latestOn: past, why, projectedAt: at } });
    await db.jobRun.create({ data: { companyId, id: newId(), job: 'project-company', payload: {}, state: 'failed', error: 'broken' } });
  });
  await world.callers.planner.post('projections');
  await world.callers.planner.ask({
    method: 'POST', url: 'imports?kind=readings&fileName=a.csv', body: 'serial,at,value\nX,2026-01-01T00:00:00Z,5\n', headers: { 'content-type': 'text/csv' },
  });
});
afterAll(() => world?.close());

const records: Record<string, z.ZodType> = {
  owners: contract.owner, sites: contract.site, zones: contract.zone, 'door-types': contract.doorType, positions: contract.position,
  doors: contract.door, counters: contract.counter, 'fitted-parts': contract.fittedPart, readings: contract.reading,
  imports: contract.fileImport, plans: contract.plan, tasks: contract.task, completions: contract.completion,
  'due-items': contract.dueItem, accounts: contract.account, people: contract.person, jobs: contract.job, ledger: contract.ledgerEntry,
};
const lists: Record<string, contract.ListWords> = {
  owners: contract.ownerList, sites: contract.siteList, zones: contract.zoneList, 'door-types': contract.doorTypeList,
  positions: contract.positionList, doors: contract.doorList, counters: contract.counterList, 'fitted-parts': contract.fittedPartList,
  readings: contract.readingList, imports: contract.importList, plans: contract.planList, tasks: contract.taskList,
  completions: contract.completionList, 'due-items': contract.dueItemList, accounts: contract.accountList, people: contract.personList,
  jobs: contract.jobList, ledger: contract.ledgerList,
};

describe('every list', () => {
  test.each(Object.keys(records))('%s answers what its contract says, and the same for one of them', async (path) => {
    const { administrator } = world.callers;
    if (path === 'zones') await administrator.post('zones', { siteId: world.fleet.siteId, name: 'Freezer 1', temperatureClass: 'freezer', setPointCelsius: -24.5 });
    const { status, body } = await administrator.get(`${path}?count=true&limit=100`);
    expect([path, status]).toEqual([path, 200]);
    expect(body.items.length).toBeGreaterThan(0);
    for (const item of body.items) {
      const parsed = records[path]!.safeParse(item);
      expect(parsed.success ? [] : parsed.error.issues).toEqual([]);
      expect(parsed.data).toEqual(item);
    }
    if (!['due-items', 'people', 'ledger', 'readings'].includes(path)) {
      expect((await administrator.get(`${path}/${body.items[0].id}`)).body).toEqual(body.items[0]);
    }
  });

  test.each(Object.keys(lists))('%s can be sorted by every word it offers, both ways, and filtered by each', async (path) => {
    const words = lists[path]!;
    const { administrator } = world.callers;
    for (const sort of [...words.sorts, ...words.sorts.map((word) => `-${word}`)]) {
      const answer = await administrator.get(`${path}?sort=${sort}`);
      expect([path, sort, answer.status, answer.text.slice(0, 200 * Number(answer.status !== 200))]).toEqual([path, sort, 200, '']);
    }
    const { body } = await administrator.get(`${path}?limit=1`);
    for (const field of Object.keys(words.filters)) {
      const value = body.items[0][field];
      if (value === null || value === undefined) continue;
      const found = await administrator.get(`${path}?${field}=${encodeURIComponent(value)}&count=true`);
      expect([path, field, found.status]).toEqual([path, field, 200]);
      expect(found.body.total).toBeGreaterThan(0);
      expect(found.body.items.every((item: Record<string, unknown>) => item[field] === value)).toBe(true);
    }
    for (const field of Object.keys(words.ranges)) {
      const bound = words.ranges[field] === 'date' ? '2000-01-01' : '2000-01-01T00:00:00Z';
      expect((await administrator.get(`${path}?${field}From=${bound}&count=true`)).status).toBe(200);
      expect((await administrator.get(`${path}?${field}To=${bound}&count=true`)).body.total).toBe(0);
    }
    if (words.search) expect((await administrator.get(`${path}?q=no%20such%20thing&count=true`)).body.total).toBe(0);
  });

  test.each(Object.keys(lists))('%s names a parameter that it does not know', async (path) => {
    const answer = await world.callers.administrator.get(`${path}?colour=red`);
    expect([answer.status, answer.body.errors]).toEqual([400, [{ field: 'colour', message: 'is not known here' }]]);
  });
});

describe('paging', () => {
  test('neither skips nor repeats under ties, with a page size that divides nothing', async () => {
    for (const sort of ['nextDueOn', '-nextDueOn', 'state', 'doorTypeName']) {
      const seen: string[] = [];
      for (let offset = 0, more = true; more; offset += 7) {
        const { body } = await world.callers.planner.get(`doors?sort=${sort}&limit=7&offset=${offset}&siteId=${world.fleet.siteId}`);
        seen.push(...body.items.map((item: { id: string }) => item.id));
        more = body.hasNext;
      }
      expect(new Set(seen).size).toBe(tied + 1);
      expect(seen.length).toBe(tied + 1);
    }
  });

  test('is bounded', async () => {
    expect((await world.callers.planner.get('doors?limit=101')).body.errors[0].field).toBe('limit');
    expect((await world.callers.planner.get('doors?limit=100')).status).toBe(200);
    expect((await world.callers.planner.get('doors?offset=-1')).body.errors[0].field).toBe('offset');
  });

  test('sorts by what it says, unknown values last both ways', async () => {
    const up = await world.callers.planner.get('doors?sort=-chance90&limit=100');
    const chances = up.body.items.map((item: { chance90: number | null }) => item.chance90);
    const known = chances.filter((chance: number | null) => chance !== null);
    expect(known).toEqual([...known].sort((a, b) => b - a));
    expect(known.length).toBe(tied);
    expect(chances.slice(tied).every((chance: number | null) => chance === null)).toBe(true);
  });
});

describe('filters of doors', () => {
  const count = async (query: string): Promise<number> => (await world.callers.planner.get(`doors?count=true&${query}`)).body.total;

  test('take any of several values', async () => {
    expect(await count('state=out-of-service')).toBe(20);
    expect(await count('state=out-of-service,in-service')).toBe(tied + 2);
    expect(await count('condition=worn,unknown')).toBe(30 + 2);
  });

  test('know which inspections are overdue', async () => {
    expect(await count('overdueSafety=true')).toBe(1);
    expect(await count('overdueSafety=false')).toBe(tied + 1);
  });

  test('search literally, whatever is typed', async () => {
    expect(await count(`q=${encodeURIComponent('SN%_5')}`)).toBe(11);
    expect(await count('q=%25')).toBe(tied);
    expect(await count(`q=${encodeURIComponent("'; drop table door; --")}`)).toBe(0);
    expect(await count('q=%5C')).toBe(0);
  });

  test('refuse a value of another kind, naming the field', async () => {
    for (const [query, field] of [['siteId=1', 'siteId'], ['state=lost', 'state'], ['overdueSafety=maybe', 'overdueSafety'], ['sort=password', 'sort'], ['nextDueOnFrom=soon', 'nextDueOnFrom']] as const) {
      const answer = await world.callers.planner.get(`doors?${query}`);
      expect([query, answer.status, answer.body.errors?.[0]?.field]).toEqual([query, 400, field]);
    }
  });
});

test('the outlook answers what its contract says', async () => {
  const { body } = await world.callers.planner.get('outlook');
  const parsed = contract.outlook.safeParse(body);
  expect(parsed.success ? [] : parsed.error.issues).toEqual([]);
  expect(parsed.data).toEqual(body);
  expect(body.weeks.length).toBe(12);
  expect(body.overdueSafety.length).toBe(1);
  expect(body.totals).toMatchObject({ doors: tied + 2, outOfService: 20, worn: 30, overdueSafety: 1 });
});
