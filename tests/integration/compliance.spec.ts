import type { ComplianceDoors } from '@lintel/contract';
import { newId } from '@lintel/store';
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import { openApiWorld, type ApiWorld } from '../support/apiWorld.js';

const DAY_MS = 86_400_000;
/** A date in the calendar of the sites, which are in Oslo. */
const day = (days: number): string => new Date(Date.now() + days * DAY_MS).toLocaleDateString('sv-SE', { timeZone: 'Europe/Oslo' });
/** Noon in UTC is on the same date there. */
const noon = (days: number): string => `${day(days)}T12:00:00Z`;

let world: ApiWorld;
beforeAll(async () => {
  world = await openApiWorld();
});
afterAll(() => world?.close());

const sql = (text: string, values: unknown[] = []) => world.database.owner.query(text, values);

async function addTask(name: string, checklist: object[], safety = true): Promise<string> {
  const id = newId();
  await sql(
    `INSERT INTO task (company_id, id, plan_id, name, safety, interval_months, minutes, skills, checklist, parts, source)
     VALUES ($1, $2, $3, $4, $5, 12, 30, '{}', $6, '{}', 'test')`,
    [world.company.companyId, id, world.planId, name, safety, JSON.stringify(checklist)],
  );
  return id;
}
async function addPosition(kind: string, name: string, safetyDevice = true): Promise<string> {
  const id = newId();
  await sql(
    `INSERT INTO position (company_id, id, door_type_id, kind, name, safety_device, drawn_x, drawn_y, ordinal) VALUES ($1, $2, $3, $4, $5, $6, 0.5, 0.5, 9)`,
    [world.company.companyId, id, world.fleet.doorTypeId, kind, name, safetyDevice],
  );
  return id;
}
const complete = (taskId: string, days: number, passed = true, doorId = world.fleet.doorId) =>
  sql('INSERT INTO completion (company_id, id, door_id, task_id, done_at, passed) VALUES ($1, $2, $3, $4, $5, $6)', [world.company.companyId, newId(), doorId, taskId, noon(days), passed]);
const due = (taskId: string, latest: number, doorId = world.fleet.doorId) =>
  sql(
    `INSERT INTO due_item (company_id, door_id, task_id, safety, earliest_on, due_on, latest_on, why, projected_at)
     VALUES ($1, $2, $3, true, $4::date - 30, $4, $4, '{}', now()) ON CONFLICT (company_id, door_id, task_id) DO UPDATE SET earliest_on = EXCLUDED.earliest_on, due_on = EXCLUDED.due_on, latest_on = EXCLUDED.latest_on`,
    [world.company.companyId, doorId, taskId, day(latest)],
  );

let orders = 0;
/** A completed order with one answered test a line: position, device, passed. */
async function order(days: number, tests: [positionId: string, device: string, passed: boolean][]): Promise<void> {
  const { company, accountIds, fleet } = world;
  const id = newId();
  const steps = tests.map(([positionId, device], index) => ({ id: `s${index}`, kind: 'test-device', text: 'Test', positionId, device }));
  await sql(
    `INSERT INTO work_order (company_id, id, number, kind, state, origin, door_id, title, minutes, skills, parts, steps, passed, released_at, started_at, completed_at, completed_by_id)
     VALUES ($1, $2, $3, 'inspection', 'completed', 'hand', $4, 'Test', 30, '{}', '{}', $5, $6, $7::timestamptz - interval '2 hours', $7::timestamptz - interval '1 hour', $7, $8)`,
    [company.companyId, id, ++orders, fleet.doorId, JSON.stringify(steps), tests.every(([, , passed]) => passed), noon(days), accountIds.technician],
  );
  for (const [index, [positionId, , passed]] of tests.entries()) {
    // What was answered first counts no more than the last answer.
    for (const outcome of [passed ? 'failed' : 'passed', passed ? 'passed' : 'failed']) {
      await sql('INSERT INTO work_answer (company_id, id, work_order_id, step, value, counts, account_id) VALUES ($1, $2, $3, $4, $5, true, $6)', [
        company.companyId, newId(), id, `s${index}`, JSON.stringify({ kind: 'test-device', outcome, positionId }), accountIds.technician,
      ]);
    }
  }
}

/** The cells of the fleet's one door, by device. */
async function cells(): Promise<Record<string, { state: string; lastOn: string | null; nextOn: string | null }>> {
  const { body } = await world.callers.planner.get(`compliance/sites/${world.fleet.siteId}`);
  const [door] = (body as ComplianceDoors).doors;
  return Object.fromEntries(door!.cells.map(({ device, ...cell }) => [device, cell]));
}

describe('the matrix of one door', () => {
  const tasks: Record<string, string> = {};
  const positions: Record<string, string> = {};

  test('without any task nobody is asked to test, and it says so', async () => {
    await sql('UPDATE task SET safety = false WHERE id = $1', [world.taskId]);
    expect(await cells()).toEqual({
      'light-beam': { state: 'not-planned', lastOn: null, nextOn: null },
      'closing-force': { state: 'not-planned', lastOn: null, nextOn: null },
    });
  });

  test('has what the door’s type marks as safety devices: by kind, activation by its sensor, any other as such', async () => {
    positions['left'] = await addPosition('slack-switch-left', 'Slack switch left');
    positions['right'] = await addPosition('slack-switch-right', 'Slack switch right');
    positions['buttons'] = await addPosition('push-buttons', 'Buttons');
    expect(Object.keys(await cells())).toEqual(['light-beam', 'closing-force', 'slack-switch', 'emergency-stop', 'activation']);
    positions['sensor'] = await addPosition('motion-sensor', 'Sensor');
    positions['brake'] = await addPosition('roller-bearings', 'Guarded bearings');
    await addPosition('supply-isolator', 'Isolator, not marked as a safety device', false);
    expect(Object.keys(await cells())).toEqual(['light-beam', 'closing-force', 'slack-switch', 'emergency-stop', 'activation', 'other']);
  });

  test('a task tests what its checklist names; all but the closing force where it names none', async () => {
    tasks['any'] = await addTask('Names none', [{ kind: 'test-device', text: 'Whichever' }]);
    tasks['beam'] = await addTask('Beam alone', [{ kind: 'test-device', text: 'Beam', partKind: 'light-beam' }]);
    tasks['force'] = await addTask('Force', [{ kind: 'force-test', text: 'Force' }, { kind: 'test-device', text: 'Left', positionId: positions['left'] }]);
    await addTask('No safety task', [{ kind: 'test-device', text: 'Beam', partKind: 'light-beam' }], false);
    await due(tasks['any']!, 100);
    await due(tasks['beam']!, 20);
    await due(tasks['force']!, 200);
    expect(Object.fromEntries(Object.entries(await cells()).map(([device, { state, nextOn }]) => [device, [state, nextOn]]))).toEqual({
      'light-beam': ['due-soon', day(20)], 'closing-force': ['in-date', day(200)], 'slack-switch': ['in-date', day(100)],
      'emergency-stop': ['in-date', day(100)], activation: ['in-date', day(100)], other: ['in-date', day(100)],
    });
  });

  test('is due soon through 30 days, due today is not overdue, from the day after it is', async () => {
    for (const [days, state] of [[31, 'in-date'], [30, 'due-soon'], [0, 'due-soon'], [-1, 'overdue']] as const) {
      await due(tasks['beam']!, days);
      expect((await cells())['light-beam']!.state, String(days)).toBe(state);
    }
  });

  test('completions without an order are tests of what their task names; a later failed one shows, overdue comes first', async () => {
    await due(tasks['beam']!, 50);
    await complete(tasks['any']!, -40);
    await complete(tasks['force']!, -20);
    expect(await cells()).toMatchObject({
      'light-beam': { lastOn: day(-40), state: 'in-date' }, 'closing-force': { lastOn: day(-20) }, activation: { lastOn: day(-40) },
      // The task names the left switch; that is the device, whichever side.
      'slack-switch': { lastOn: day(-20) },
    });
    await complete(tasks['beam']!, -10, false);
    expect((await cells())['light-beam']).toMatchObject({ state: 'failed', lastOn: day(-10) });
    await due(tasks['beam']!, -3);
    expect((await cells())['light-beam']!.state).toBe('overdue');
    await due(tasks['beam']!, 50);
    await complete(tasks['beam']!, -5);
    expect((await cells())['light-beam']).toMatchObject({ state: 'in-date', lastOn: day(-5) });
  });

  test('answers of completed orders count at their position: one switch that failed fails both, until it is tested again', async () => {
    await order(-4, [[positions['left']!, 'slack-switch', true], [positions['right']!, 'slack-switch', false]]);
    expect((await cells())['slack-switch']).toMatchObject({ state: 'failed', lastOn: day(-4) });
    // The other switch passing again mends nothing.
    await order(-3, [[positions['left']!, 'slack-switch', true]]);
    expect((await cells())['slack-switch']).toMatchObject({ state: 'failed', lastOn: day(-4) });
    await order(-2, [[positions['right']!, 'slack-switch', true]]);
    // Last tested: the one that was tested longest ago.
    expect((await cells())['slack-switch']).toMatchObject({ state: 'in-date', lastOn: day(-3) });
  });
});

describe('sites', () => {
  test('the worst cell decides, the worst site stands first, totals count all, filters narrow', async () => {
    const { callers, fleet, otherOwner } = world;
    const all = (await callers.planner.get('compliance')).body;
    // The other owner's door has a type of its own, for which nothing is planned.
    expect(all.sites.map(({ siteId, state }: { siteId: string; state: string }) => [siteId, state])).toEqual([[otherOwner.siteId, 'not-planned'], [fleet.siteId, 'in-date']]);
    expect(all.totals).toEqual({ overdue: 0, failed: 0, 'not-planned': 1, 'due-soon': 0, 'in-date': 1 });
    const task = (await sql(`SELECT id FROM task WHERE name = 'Names none'`)).rows[0].id as string;
    await due(task, -1);
    const later = (await callers.planner.get('compliance')).body;
    expect(later.sites[0]).toMatchObject({ siteId: fleet.siteId, ownerName: 'Owner', state: 'overdue', doors: 1, doorsOverdue: 1 });
    expect(later.sites[0].cells.find(({ device }: { device: string }) => device === 'activation')).toMatchObject({ doors: 1, doorsOverdue: 1, doorsUntested: 0, state: 'overdue' });
    const ids = async (words: string) => (await callers.planner.get(`compliance?${words}`)).body.sites.map(({ siteId }: { siteId: string }) => siteId);
    expect(await ids('overdue=true')).toEqual([fleet.siteId]);
    expect(await ids('overdue=false')).toEqual([otherOwner.siteId]);
    expect(await ids(`siteId=${otherOwner.siteId}`)).toEqual([otherOwner.siteId]);
    expect(await ids(`ownerId=${fleet.ownerId},${otherOwner.ownerId}`)).toHaveLength(2);
    expect((await callers.planner.get('compliance?siteId=x')).status).toBe(400);
    expect((await callers.planner.get('compliance?state=overdue')).status).toBe(400);
  });

  test('an owner sees its own, another company its own', async () => {
    const { callers, fleet, otherOwner, foreign } = world;
    expect((await callers.owner.get('compliance')).body.sites.map(({ siteId }: { siteId: string }) => siteId)).toEqual([fleet.siteId]);
    expect((await callers.owner.get(`compliance?siteId=${otherOwner.siteId}`)).body.sites).toEqual([]);
    expect((await callers.owner.get(`compliance/sites/${otherOwner.siteId}`)).status).toBe(404);
    expect((await callers.planner.get(`compliance/sites/${foreign.siteId}`)).status).toBe(404);
    const own = (await callers.owner.get(`compliance/sites/${fleet.siteId}`)).body;
    expect(own.doors[0].cells).toEqual((await callers.planner.get(`compliance/sites/${fleet.siteId}`)).body.doors[0].cells);
    const file = await callers.owner.get('compliance/export');
    expect(file.text.split('\n').filter((line) => line.startsWith('Owner'))).toHaveLength(6);
  });

  test('the export has a line each door and device, the worst first, and no formula of anybody’s', async () => {
    const { callers } = world;
    await sql(`UPDATE door SET name = '=1+1' WHERE id = $1`, [world.fleet.doorId]);
    const { text, headers } = await callers.planner.get('compliance/export');
    expect([headers['content-type'], headers['content-disposition']]).toEqual(['text/csv; charset=utf-8', 'attachment; filename="compliance.csv"']);
    const lines = text.trim().split('\n');
    expect(lines[0]!.replace('\uFEFF', '')).toBe('owner,site,door,door state,device,last tested on,next at the latest on,state');
    expect(lines).toHaveLength(1 + 6 + 2);
    expect(lines[1]).toMatch(new RegExp(`^Owner,Site,'=1\\+1,in-service,activation,${day(-40)},${day(-1)},overdue$`));
    const overdue = (await callers.planner.get('compliance/export?overdue=true')).text.trim().split('\n');
    expect(overdue.slice(1).every((line) => line.endsWith(',overdue'))).toBe(true);
    expect(overdue.length).toBeLessThan(lines.length);
    await sql(`UPDATE door SET state = 'decommissioned' WHERE id = $1`, [world.fleet.doorId]);
    expect((await callers.planner.get('compliance')).body.sites).toHaveLength(1);
  });
});
