import { newId } from '@lintel/store';
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import { openApiWorld, type ApiWorld } from '../support/apiWorld.js';
import { bringIn } from '../support/importFile.js';

const DAY_MS = 86_400_000;
const NOW = Date.now();
const ago = (days: number): string => new Date(NOW - days * DAY_MS).toISOString();

let world: ApiWorld;

beforeAll(async () => {
  world = await openApiWorld();
  for (const [code, kind] of [['E10', 'drive'], ['E20', 'mechanical'], ['E30', 'safety-device']] as const) {
    await world.callers.planner.post('fault-codes', { code, name: `Fault ${code}`, kind });
  }
  await world.database.owner.query(`UPDATE door SET serial = 'SN-1' WHERE id = $1`, [world.fleet.doorId]);
});
afterAll(() => world?.close());

const post = (faults: unknown[], role: 'planner' | 'technician' | 'owner' = 'technician') => world.callers[role].post('faults', { faults });
const stored = async (): Promise<number> =>
  Number((await world.database.owner.query('SELECT count(*) AS n FROM fault WHERE company_id = $1', [world.company.companyId])).rows[0].n);

describe('the fault catalogue', () => {
  test('belongs to the planner; everybody of the company reads it', async () => {
    const { callers } = world;
    for (const role of ['technician', 'owner'] as const) {
      expect((await callers[role].post('fault-codes', { code: 'X', name: 'X', kind: 'drive' })).status, role).toBe(403);
      expect((await callers[role].get('fault-codes?count=true')).body.total, role).toBe(3);
    }
    const byKind = await callers.owner.get('fault-codes?kind=safety-device');
    expect(byKind.body.items.map((item: { code: string }) => item.code)).toEqual(['E30']);
  });

  test('changes under a version, keeps its codes apart and its history when archived', async () => {
    const { planner } = world.callers;
    const made = await planner.post('fault-codes', { code: 'H1', name: 'Frame too cold', kind: 'heating', advice: 'Look at the fans first' });
    const at = `fault-codes/${made.body.id}`;
    expect((await planner.patch(at, 1, { name: 'Frame heating too cold' })).body).toMatchObject({ name: 'Frame heating too cold', version: 2, code: 'H1' });
    expect((await planner.patch(at, 1, { name: 'late' })).status).toBe(412);
    expect((await planner.patch(at, 2, { code: 'H2' })).status).toBe(400);
    const again = await planner.post('fault-codes', { code: 'h1', name: 'The same in small letters', kind: 'heating' });
    expect([again.status, again.body.errors]).toEqual([409, [{ field: 'code', message: 'the catalogue has this code already' }]]);
    expect((await planner.delete(at, 2)).status).toBe(204);
    expect((await planner.get('fault-codes?archived=true')).body.items.map((item: { code: string }) => item.code)).toEqual(['H1']);
    const notes = await planner.get(`ledger?subjectId=${made.body.id}&sort=at`);
    expect(notes.body.items.map((item: { action: string }) => item.action)).toEqual(['fault-code-added', 'fault-code-changed', 'fault-code-archived']);
  });
});

describe('faults come in', () => {
  test('by POST: each by itself, known ones change nothing, wrong ones are named by index and field', async () => {
    const { fleet, foreign, callers } = world;
    const before = await stored();
    const sound = [
      { doorId: fleet.doorId, code: 'E10', at: ago(100), lifetimeCycles: 5000 },
      { serial: 'SN-1', code: 'e20', at: ago(90), note: 'jammed' },
    ];
    const wrong = [
      { doorId: foreign.doorId, code: 'E10', at: ago(80) },
      { doorId: fleet.doorId, code: 'E99', at: ago(80) },
      { doorId: fleet.doorId, code: 'E10', at: new Date(NOW + DAY_MS).toISOString() },
      { doorId: fleet.doorId, code: 'E10', at: '2001-01-01T00:00:00Z' },
      { doorId: fleet.doorId, code: 'E10', at: 'yesterday' },
      { code: 'E10', at: ago(80) },
      { doorId: fleet.doorId, code: 'E10', at: ago(80), lifetimeCycles: -1 },
      { doorId: fleet.doorId, code: 'E10', at: ago(80), cause: 'ice' },
    ];
    const taken = await post([...sound, ...wrong]);
    expect(taken.status).toBe(200);
    expect(taken.body).toMatchObject({ accepted: 2, unchanged: 0 });
    expect(taken.body.refused.map(({ index, field }: { index: number; field: string }) => [index, field])).toEqual([
      [2, 'doorId'], [3, 'code'], [4, 'at'], [5, 'at'], [6, 'at'], [7, 'doorId'], [8, 'lifetimeCycles'], [9, 'cause'],
    ]);
    expect((await post(sound)).body).toEqual({ accepted: 0, unchanged: 2, refused: [] });
    expect(await stored()).toBe(before + 2);
    const list = await callers.planner.get('faults?sort=at');
    expect(list.body.items[0]).toMatchObject({
      code: 'E10', codeName: 'Fault E10', kind: 'drive', lifetimeCycles: 5000, source: 'post', accountName: 'Test technician', doorName: 'F-01',
    });
    expect((await post([{ doorId: fleet.doorId, code: 'E10', at: ago(1) }], 'owner')).status).toBe(403);
    expect((await callers.technician.post('faults', { faults: [] })).status).toBe(400);
    expect((await callers.technician.post('faults', { faults: Array.from({ length: 5001 }, () => ({})) })).status).toBe(400);
  });

  test('two batches with the same faults at once add each once', async () => {
    const { fleet } = world;
    const batch = Array.from({ length: 200 }, (_, index) => ({ doorId: fleet.doorId, code: 'E30', at: ago(200 + index / 100) }));
    const before = await stored();
    const answers = await Promise.all([post(batch), post(batch.toReversed())]);
    expect(answers.map(({ status }) => status)).toEqual([200, 200]);
    expect(answers.reduce((sum, { body }) => sum + body.accepted, 0)).toBe(200);
    expect(await stored()).toBe(before + 200);
  });

  test('by file: sound lines go in, wrong ones are named, the same file twice changes nothing', async () => {
    const { database, company } = world;
    const text = [
      'serial;Fault code;Date;Cycles;Note',
      'SN-1;E10;2026-03-01 10:00;1 234;by file',
      'SN-1;E99;2026-03-02 10:00;;',
      'SN-9;E10;2026-03-02 10:00;;',
      'SN-1;E10;2026-02-30 10:00;;',
      'SN-1;E10;2026-03-03 10:00;many;',
      'SN-1;;2026-03-03 10:00;;',
      'SN-1;E20;2001-03-03 10:00;;',
      'SN-1;E20;2026-03-04 10:00;;',
    ].join('\n');
    const { importId, result } = await bringIn(database.store, company, 'faults', text);
    expect(result).toMatchObject({ state: 'done', lines: 8, accepted: 2, unchanged: 0, refused: 6, error: null });
    const refusals = await database.owner.query('SELECT line, field FROM import_refusal WHERE import_id = $1 ORDER BY line', [importId]);
    expect(refusals.rows.map(({ line, field }) => [line, field])).toEqual([[3, 'code'], [4, 'serial'], [5, 'at'], [6, 'lifetimeCycles'], [7, 'code'], [8, 'at']]);
    // Ten o'clock at the site in March is nine in UTC.
    const { body } = await world.callers.planner.get(`faults?importId=${importId}&sort=at`);
    expect(body.items.map((item: { at: string; lifetimeCycles: number | null; note: string | null; source: string }) =>
      [item.at, item.lifetimeCycles, item.note, item.source])).toEqual([
      ['2026-03-01T09:00:00Z', 1234, 'by file', 'file'], ['2026-03-04T09:00:00Z', null, null, 'file'],
    ]);
    expect((await bringIn(database.store, company, 'faults', text)).result).toMatchObject({ accepted: 0, unchanged: 2, refused: 6 });
  });

  test('a fault is a fact: it can be neither changed nor deleted', async () => {
    for (const verb of ['UPDATE fault SET note = note', 'DELETE FROM fault']) {
      await expect(world.database.store.withCompanySql(world.company, (client) => client.query(verb)), verb).rejects.toThrow(/permission denied/);
    }
  });
});

describe('who sees what', () => {
  test('an owner its own doors alone, another company nothing', async () => {
    const { callers, otherOwner, fleet, foreign } = world;
    await post([{ doorId: otherOwner.doorId, code: 'E10', at: ago(30) }]);
    const all = (await callers.planner.get('faults?count=true')).body.total;
    const own = await callers.owner.get('faults?count=true&limit=100');
    expect(own.body.total).toBe(all - 1);
    expect(new Set(own.body.items.map((item: { doorId: string }) => item.doorId))).toEqual(new Set([fleet.doorId]));
    expect(own.body.items.every((item: { accountName: string | null }) => item.accountName === null)).toBe(true);
    const summary = (await callers.owner.get('faults/summary')).body;
    expect([summary.doors, summary.bySite.length]).toEqual([1, 1]);
    expect((await callers.owner.get(`doors/${otherOwner.doorId}/faults`)).status).toBe(404);
    expect((await callers.planner.get(`doors/${foreign.doorId}/faults`)).status).toBe(404);
    for (const trends of [await callers.owner.get('faults/trends'), await callers.owner.get('faults/course')]) expect(trends.status).toBe(200);
  });
});

describe('the summary', () => {
  test('counts as a naive count does, over the cycles of the doors', async () => {
    const { database, company, callers, fleet, otherOwner } = world;
    const model = JSON.stringify({});
    for (const [doorId, perDay] of [[fleet.doorId, 200], [otherOwner.doorId, 50]] as const) {
      await database.owner.query(
        `INSERT INTO door_duty (company_id, door_id, model, lifetime_cycles, cycles_per_day_10, cycles_per_day, cycles_per_day_90, readings,
           set_aside, observed_cycles, observed_days, projected_at) VALUES ($1, $2, $3, 1000, 1, 1, 1, 9, 0, $4, 100, now())`,
        [company.companyId, doorId, model, perDay * 100],
      );
    }
    const [from, to] = [ago(150), ago(10)];
    const { body } = await callers.planner.get(`faults/summary?atFrom=${from}&atTo=${to}`);
    await database.owner.query('DELETE FROM door_duty WHERE company_id = $1', [company.companyId]);
    const { rows } = await database.owner.query<{ code: string; door_id: string }>(
      `SELECT c.code, f.door_id FROM fault f JOIN fault_code c USING (company_id) WHERE c.id = f.fault_code_id AND f.company_id = $1
         AND f.at BETWEEN $2 AND $3`, [company.companyId, from, to]);
    expect(body.faults).toBe(rows.length);
    expect(rows.length).toBeGreaterThan(2);
    const cycles = (200 + 50) * 140;
    expect(body.cycles).toBeCloseTo(cycles, 3);
    expect(body.rate.per1000).toBeCloseTo(rows.length / (cycles / 1000), 9);
    const naive = new Map<string, number>();
    for (const { code } of rows) naive.set(code, (naive.get(code) ?? 0) + 1);
    expect(Object.fromEntries(body.byCode.map(({ code, count }: { code: string; count: number }) => [code, count]))).toEqual(Object.fromEntries(naive));
    expect(body.byCode.at(-1).cumulativeShare).toBeCloseTo(1, 12);
    const own = rows.filter(({ door_id: doorId }) => doorId === otherOwner.doorId).length;
    const bar = body.byDoor.find(({ doorId }: { doorId: string }) => doorId === otherOwner.doorId);
    expect([bar.count, bar.rate.per1000]).toEqual([own, expect.closeTo(own / ((50 * 140) / 1000), 9)]);
    expect(body.bySite.reduce((sum: number, { count }: { count: number }) => sum + count, 0)).toBe(rows.length);
    const drives = (await callers.planner.get(`faults/summary?atFrom=${from}&atTo=${to}&kind=drive`)).body;
    expect([drives.faults, drives.byKind.map(({ kind }: { kind: string }) => kind)]).toEqual([naive.get('E10'), ['drive']]);
  });

  test('names what came back within thirty days of a repair, and nothing else', async () => {
    const { database, company, callers, fleet } = world;
    const part = async (removedDaysAgo: number, reason: string): Promise<void> => {
      await database.owner.query(
        `INSERT INTO fitted_part (company_id, id, door_id, position_id, fitted_at, removed_at, removal_reason)
         VALUES ($1, $2, $3, $4, $5, $6, $7::"RemovalReason")`,
        [company.companyId, newId(), fleet.doorId, fleet.chainPositionId, ago(removedDaysAgo + 100), ago(removedDaysAgo), reason],
      );
    };
    // A drive chain is filed under mechanical faults, as code E20 is.
    await post([1010, 990, 910, 860, 810, 805].map((days) => ({ doorId: fleet.doorId, code: 'E20', at: ago(days) })));
    await part(1005, 'failed'); // 5 days after a fault; again after 15 days: repeated
    await part(909, 'worn'); // the day after a fault; again after 49 days: held
    await part(950, 'failed'); // 40 days after a fault: no repair of it
    await part(809, 'preventive'); // was not mended because of a fault
    const { body } = await callers.planner.get(`faults/summary?atFrom=${ago(1100)}&atTo=${ago(700)}`);
    expect(body.repeats).toMatchObject({ withinDays: 30, repairs: 2, judged: 2, repeated: 1, share: 0.5 });
    expect(body.repeats.lines).toMatchObject([{ code: 'E20', doorId: fleet.doorId, partName: 'Drive chain' }]);
    expect(Date.parse(body.repeats.lines[0].againAt)).toBe(Date.parse(ago(990)));
  });

  test.each([
    ['faults/summary?atFrom=2026-03-01T00:00:00Z&atTo=2026-02-01T00:00:00Z', 'atFrom'],
    ['faults/summary?atFrom=1990-01-01T00:00:00Z', 'atFrom'],
    ['faults/summary?kind=weather', 'kind'],
    ['faults/summary?siteId=here', 'siteId'],
    ['faults/trends?doorType=x', 'doorType'],
  ])('%s is refused by its field', async (path, field) => {
    const answer = await world.callers.planner.get(path);
    expect([answer.status, answer.body.errors?.[0]?.field]).toEqual([400, field]);
  });
});

describe('trends', () => {
  test('tell the door that is getting worse from the steady one, each over its own watched time', async () => {
    const { planner } = world.callers;
    const { database, fleet, otherOwner, otherCompany } = world;
    const context = otherCompany;
    // A company of its own, so that nothing above counts.
    await database.store.withCompany(context, (db) =>
      db.faultCode.create({ data: { companyId: context.companyId, id: newId(), code: 'Z1', name: 'Z', kind: 'drive' } }));
    expect((await planner.get('fault-codes?q=Z1')).body.items).toEqual([]);
    const worse = [400, 60, 50, 42, 35, 29, 23, 18, 13, 8, 4, 1];
    const steady = [380, 350, 310, 275, 240, 205, 170, 135, 100, 65, 30, 5];
    const before = await stored();
    await post(worse.map((days) => ({ doorId: otherOwner.doorId, code: 'E10', at: ago(days) })));
    expect(await stored()).toBe(before + worse.length);
    const one = await planner.get(`doors/${otherOwner.doorId}/faults`);
    // The first fault at the site is where watching begins; the one of an earlier test stands 30 days back.
    expect(one.body.trend).toMatchObject({ verdict: 'worse', unit: 'days', events: worse.length });
    expect(Date.parse(one.body.trend.watchedFrom)).toBe(Date.parse(ago(400)));
    const trends = await planner.get(`faults/trends?siteId=${otherOwner.siteId}`);
    expect(trends.body.doors[0]).toMatchObject({ doorId: otherOwner.doorId, trend: { verdict: 'worse' } });
    const course = await planner.get(`faults/course?siteId=${otherOwner.siteId}`);
    expect(course.body).toMatchObject({ doors: 1, faults: worse.length, trend: { verdict: 'worse' } });
    expect(course.body.steps.at(-1).mean).toBeCloseTo(worse.length, 9);
    await database.owner.query('DELETE FROM fault WHERE door_id = $1', [otherOwner.doorId]);
    await post(steady.map((days) => ({ doorId: otherOwner.doorId, code: 'E10', at: ago(days) })));
    expect((await planner.get(`doors/${otherOwner.doorId}/faults`)).body.trend).toMatchObject({ verdict: 'steady', events: steady.length - 1 });
    await database.owner.query('DELETE FROM fault WHERE door_id = $1', [otherOwner.doorId]);
    expect((await planner.get(`doors/${otherOwner.doorId}/faults`)).body).toMatchObject({
      trend: { verdict: 'too-little', events: 0, watchedFrom: null }, faults: [], leftOut: 0,
    });
    expect((await planner.get(`doors/${fleet.doorId}/faults`)).body.faults.length).toBeGreaterThan(100);
  });
});
