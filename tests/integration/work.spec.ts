import { randomUUID } from 'node:crypto';
import type { WholeWorkOrder } from '@lintel/contract';
import { afterAll, beforeAll, beforeEach, describe, expect, test } from 'vitest';
import type { Caller } from '../support/api.js';
import { openApiWorld, type ApiWorld } from '../support/apiWorld.js';
import { passing, released, send, sent, workThrough } from '../support/work.js';

let world: ApiWorld;
let planner: Caller;
let technician: Caller;
beforeAll(async () => {
  world = await openApiWorld();
  ({ planner, technician } = world.callers);
});
afterAll(() => world?.close());
beforeEach(() => world.database.owner.query('DELETE FROM outbox'));

const rows = async (sql: string, ...values: unknown[]) => (await world.database.owner.query(sql, values)).rows;
const door = async () => (await planner.get(`doors/${world.fleet.doorId}`)).body;
const outbox = async () => (await rows('SELECT job, payload FROM outbox ORDER BY job, id')).map(({ job, payload }) => ({ job, ...payload }));
const mine = () => ({ technicianId: world.accountIds.technician });
const byHand = (more: object = {}) => ({ doorId: world.fleet.doorId, kind: 'corrective', title: 'By hand', ...mine(), ...more });
const whole = async (id: string): Promise<WholeWorkOrder> => (await planner.get(`work-orders/${id}`)).body;
const beamTests = (order: WholeWorkOrder) => order.steps.filter((step) => step.kind === 'test-device').map(({ id }) => id);

describe('an order', () => {
  test('comes from a due item once, has a number, and is released with the steps of its door', async () => {
    const given = { doorId: world.fleet.doorId, taskId: world.taskId, ...mine(), plannedOn: '2026-12-01' };
    const made = await planner.post('work-orders', given);
    expect([made.status, made.headers['etag'], made.body.kind, made.body.origin, made.body.state]).toEqual([201, '"1"', 'inspection', 'due', 'planned']);
    const again = await planner.post('work-orders', given);
    expect([again.status, again.body.errors[0].field]).toEqual([400, 'taskId']);
    const next = (await planner.post('work-orders', byHand())).body;
    expect(next.number).toBe(made.body.number + 1);

    const order: WholeWorkOrder = (await planner.post(`work-orders/${made.body.id}/release`)).body;
    expect([order.state, order.devices]).toEqual(['released', [world.fleet.beamPositionId]]);
    expect(order.steps[0]).toMatchObject({ kind: 'confirm', caution: true });
    expect(beamTests(order).length).toBe(2);
    expect(order.steps.filter(({ kind }) => kind === 'force-test')).toMatchObject([{ opening: { widthMm: 3000, heightMm: 3500 } }]);
    // A later change of the plan does not reach it.
    await planner.patch(`tasks/${world.taskId}`, 1, { checklist: [{ kind: 'text', text: 'Something else' }] });
    expect((await whole(order.id)).steps).toEqual(order.steps);
    await planner.post(`work-orders/${order.id}/cancel`, { reason: 'test' });
    await planner.post(`work-orders/${next.id}/cancel`, { reason: 'test' });
    expect((await rows('SELECT action FROM ledger_entry WHERE subject_id = $1 ORDER BY sequence', order.id)).map(({ action }) => action))
      .toEqual(['work-order-created', 'work-order-released', 'work-order-cancelled']);
  });

  test('is planned otherwise under its version, and not by whom it may not', async () => {
    const { id, version } = (await planner.post('work-orders', byHand())).body;
    const changed = await planner.patch(`work-orders/${id}`, version, { plannedOn: '2026-12-05', technicianId: world.accountIds.planner });
    expect([changed.status, changed.body.plannedOn, changed.body.technicianId]).toEqual([200, '2026-12-05', world.accountIds.planner]);
    const stale = await planner.patch(`work-orders/${id}`, version, { minutes: 5 });
    expect([stale.status, stale.body.current.plannedOn]).toEqual([412, '2026-12-05']);
    expect((await planner.patch(`work-orders/${id}`, version + 1, { technicianId: world.accountIds.owner })).status).toBe(400);
    for (const [caller, status] of [[world.callers.owner, 403], [technician, 403]] as const) {
      expect((await caller.patch(`work-orders/${id}`, version + 1, { minutes: 5 })).status).toBe(status);
      expect((await caller.post('work-orders', byHand())).status).toBe(status);
    }
    expect((await world.callers.owner.post(`work-orders/${id}/start`)).status).toBe(403);
    await planner.post(`work-orders/${id}/cancel`, { reason: 'test' });
  });

  test('many are made and released at once, each with its own result', async () => {
    const { body } = await planner.post('work-orders/from-due', {
      items: [{ doorId: world.fleet.doorId, taskId: world.taskId }, { doorId: world.foreign.doorId, taskId: world.taskId }, { doorId: world.fleet.doorId, taskId: world.taskId }],
    });
    expect(body.results.map((one: { refusal: { code: string } | null }) => one.refusal?.code ?? null)).toEqual([null, 'no-such-door', 'ordered-already']);
    const { body: done } = await planner.post('work-orders/release', { ids: [body.results[0].id, randomUUID()] });
    expect(done.results.map((one: { number: number | null; refusal: { code: string } | null }) => [one.number, one.refusal?.code ?? null]))
      .toEqual([[body.results[0].number, null], [null, 'no-such-order']]);
    await planner.post(`work-orders/${body.results[0].id}/cancel`, { reason: 'test' });
  });

  test('due work names the order that is open for it, until there is none', async () => {
    await rows(
      `INSERT INTO due_item (company_id, door_id, task_id, safety, earliest_on, due_on, latest_on, why, projected_at)
       SELECT company_id, $1, id, safety, '2026-12-01', '2026-12-08', '2026-12-15', $3, now() FROM task WHERE id = $2 ON CONFLICT DO NOTHING`,
      world.fleet.doorId, world.taskId, JSON.stringify({ rule: 'calendar', basis: { kind: 'in-service', on: '2025-12-08', lifetimeCycles: 0 }, interval: 12,
        tightenedByRegime: false, cyclesToGo: null, quantile: null, lastReadingAt: null, otherRuleDue: null }));
    const due = async (ordered: boolean, caller = planner) => (await caller.get(`due-items?doorId=${world.fleet.doorId}&taskId=${world.taskId}&ordered=${ordered}`)).body.items;
    expect(await due(false)).toMatchObject([{ orderId: null, orderNumber: null, ordered: false }]);
    const { body } = await planner.post('work-orders/from-due', { items: [{ doorId: world.fleet.doorId, taskId: world.taskId }] });
    const [{ id, number }] = body.results;
    for (const caller of [planner, world.callers.owner]) expect(await due(true, caller)).toMatchObject([{ orderId: id, orderNumber: number, ordered: true }]);
    expect(await due(false)).toEqual([]);
    await planner.post(`work-orders/${id}/cancel`, { reason: 'test' });
    expect(await due(true)).toEqual([]);
  });
});

describe('company and owner', () => {
  test('another company finds nothing, an owner its own doors’ orders without hours, people and what devices sent', async () => {
    const ours = await released(planner, byHand());
    const other = await released(planner, byHand({ doorId: world.otherOwner.doorId, title: 'Of the other owner' }));
    await send(technician, [sent(ours.id, { command: 'start' }), sent(ours.id, { command: 'record-time', kind: 'work', minutes: 5, startedAt: new Date().toISOString() })]);
    const seen: WholeWorkOrder = (await world.callers.owner.get(`work-orders/${ours.id}`)).body;
    expect(seen).toMatchObject({ id: ours.id, times: [], keptWork: [], technicianName: null });
    expect((await whole(ours.id)).times.length).toBe(1);
    expect((await world.callers.owner.get(`work-orders/${other.id}`)).status).toBe(404);
    const listed = (await world.callers.owner.get('work-orders?limit=100')).body.items;
    expect(listed.map(({ doorId }: { doorId: string }) => doorId).filter((id: string) => id !== world.fleet.doorId)).toEqual([]);

    const foreign = { ...world.otherCompany };
    const hidden = await world.database.store.withCompanySql(foreign, (client) => client.query('SELECT FROM work_order'));
    expect(hidden.rowCount).toBe(0);
    for (const order of [ours, other]) await planner.post(`work-orders/${order.id}/cancel`, { reason: 'test' });
  });

  test('due work and its open order of another owner’s door, or of another company’s, are nobody else’s, whatever is asked for', async () => {
    const { fleet, otherOwner, foreign, callers } = world;
    // The plan is of one door type; the other owner's door is of it too from now on.
    await rows('UPDATE door SET door_type_id = $2 WHERE id = $1', otherOwner.doorId, fleet.doorTypeId);
    for (const doorId of [fleet.doorId, otherOwner.doorId]) {
      await rows(
        `INSERT INTO due_item (company_id, door_id, task_id, safety, earliest_on, due_on, latest_on, why, projected_at)
         SELECT company_id, $1, id, safety, '2026-12-01', '2026-12-08', '2026-12-15', '{}', now() FROM task WHERE id = $2 ON CONFLICT DO NOTHING`,
        doorId, world.taskId);
    }
    const { body } = await planner.post('work-orders/from-due', { items: [fleet, otherOwner].map(({ doorId }) => ({ doorId, taskId: world.taskId })) });
    const [ours, theirs] = body.results.map(({ id }: { id: string }) => id);
    const ordersOf = async (caller: Caller, filter: string) =>
      (await caller.get(`due-items?taskId=${world.taskId}&ordered=true${filter}`)).body.items.map(({ orderId }: { orderId: string }) => orderId);
    expect(new Set(await ordersOf(planner, ''))).toEqual(new Set([ours, theirs]));
    expect(await ordersOf(callers.owner, '')).toEqual([ours]);
    expect(await ordersOf(callers.owner, `&doorId=${otherOwner.doorId}`)).toEqual([]);
    expect(await ordersOf(planner, `&doorId=${foreign.doorId}`)).toEqual([]);
    const elsewhere = await world.database.store.withCompanySql(world.otherCompany, (client) => client.query('SELECT FROM due_item'));
    expect(elsewhere.rowCount).toBe(0);
    for (const id of [ours, theirs]) await planner.post(`work-orders/${id}/cancel`, { reason: 'test' });
  });

  test('facts cannot be changed', async () => {
    for (const table of ['work_answer', 'work_image', 'work_time', 'work_part', 'work_signature', 'device_command', 'work_retest']) {
      const change = world.database.store.withCompanySql(world.company, (client) => client.query(`DELETE FROM ${table}`));
      await expect(change, table).rejects.toThrow(/permission denied/);
    }
  });
});

describe('a completed order', () => {
  test('books its reading, part, completion; its door is projected and its kind of part learned from anew; the ledger says so', async () => {
    const { chainPositionId, chainId, doorId, counterId } = world.fleet;
    const order = await released(planner, byHand({ parts: ['drive-chain'] }));
    const fit = order.steps.find(({ kind }) => kind === 'fit-part')!;
    expect(fit).toMatchObject({ positionId: chainPositionId, optional: true });
    await rows('DELETE FROM outbox');
    const counterStep = order.steps.find(({ kind }) => kind === 'read-counter')!;
    const answers = await send(technician, [
      sent(order.id, { command: 'start' }),
      ...workThrough(order, {
        [fit.id]: { kind: 'fit-part', removed: { reason: 'failed', serial: 'OLD-1' }, fitted: { serial: 'NEW-1', ageCycles: 12 } },
        [counterStep.id]: { kind: 'read-counter', value: 4711 },
      }),
      sent(order.id, { command: 'use-part', kind: 'drive-chain', quantity: 1, code: 'CH-1', positionId: chainPositionId }),
      sent(order.id, { command: 'complete', passed: true }),
    ]);
    expect(answers.filter(({ outcome }) => outcome !== 'applied')).toEqual([]);
    const done = await whole(order.id);
    expect(done).toMatchObject({ state: 'completed', passed: true, completedById: world.accountIds.technician, usedParts: [{ code: 'CH-1', quantity: 1 }] });
    expect(await rows('SELECT value::int, counter_id, source FROM reading WHERE door_id = $1', doorId)).toEqual([{ value: 4711, counter_id: counterId, source: 'form' }]);
    const [old, fresh] = await rows('SELECT id, serial, removal_reason, removed_at, fitted_at, age_at_fitting::int AS age FROM fitted_part WHERE door_id = $1 AND position_id = $2 ORDER BY fitted_at', doorId, chainPositionId);
    expect(old).toMatchObject({ id: chainId, serial: 'OLD-1', removal_reason: 'failed' });
    expect(fresh).toMatchObject({ serial: 'NEW-1', age: 12, removal_reason: null });
    expect(old!.removed_at).toEqual(fresh!.fitted_at);
    expect(await outbox()).toEqual([{ job: 'project-door', doorId }, { job: 'refit-pool', kind: 'drive-chain' }]);
    const actions = (await rows('SELECT action FROM ledger_entry WHERE subject_id = $1 ORDER BY sequence', order.id)).map(({ action }) => action);
    expect(actions.filter((action) => action === 'work-step-answered').length).toBe(workThrough(order).length + 1);
    expect(actions.at(-1)).toBe('work-completed');
    expect((await planner.post(`work-orders/${order.id}/review`)).body.state).toBe('reviewed');
  });

  test('rolls its due item on: the completion counts from then, unless it was not passed', async () => {
    const order = await inspection();
    await rows('DELETE FROM outbox');
    const [first] = beamTests(order);
    const failed: Parameters<typeof workThrough>[1] = { [first!]: { kind: 'test-device', passed: false, remark: 'does not stop' } };
    const started = [sent(order.id, { command: 'start' }), ...workThrough(order, failed)];
    const passedAnyway = sent(order.id, { command: 'complete', passed: true });
    const unreported = sent(order.id, { command: 'complete', passed: false });
    const defect = sent(order.id, { command: 'report', finding: { id: randomUUID(), severity: 'defect', text: 'Beam out of line', stepId: first! } });
    const answers = await send(technician, [...started, passedAnyway, unreported, defect, sent(order.id, { command: 'complete', passed: false })]);
    expect(answers.slice(-4).map(({ outcome, refusal }) => refusal?.code ?? outcome)).toEqual(['safety-check-failed', 'failure-without-finding', 'applied', 'applied']);
    expect(await rows('SELECT passed, account_id FROM completion WHERE task_id = $1 ORDER BY done_at DESC LIMIT 1', world.taskId))
      .toEqual([{ passed: false, account_id: world.accountIds.technician }]);
    expect((await outbox()).filter(({ job }) => job === 'project-door')).toEqual([{ job: 'project-door', doorId: world.fleet.doorId }]);
    // The finding has its corrective work, which puts it right when passed.
    const [found] = (await whole(order.id)).findings;
    expect(found).toMatchObject({ severity: 'defect', open: true, positionId: world.fleet.beamPositionId });
    const corrective: WholeWorkOrder = (await planner.post(`work-orders/${found!.correctiveId!}/release`)).body;
    expect(corrective).toMatchObject({ origin: 'finding', kind: 'corrective', title: 'Beam out of line', retests: [], parts: ['light-beam'] });
    await send(technician, [sent(corrective.id, { command: 'start' }), ...workThrough(corrective), sent(corrective.id, { command: 'complete', passed: true })]);
    expect((await planner.get(`findings/${found!.id}`)).body).toMatchObject({ open: false, clearedById: corrective.id });
    expect((await door()).state).toBe('in-service');

    const next = await inspection();
    await send(technician, [sent(next.id, { command: 'start' }), ...workThrough(next), sent(next.id, { command: 'complete', passed: true })]);
    const completion = (await whole(next.id)).completionId;
    expect(await rows('SELECT passed FROM completion WHERE id = $1', completion)).toEqual([{ passed: true }]);
  });

  test('an inspection with a device unchecked is not completed, whatever the device sends', async () => {
    const order = await inspection();
    const left = new Set(beamTests(order));
    const some = workThrough(order).filter(({ command }) => !(command.command === 'answer' && left.has(command.stepId)));
    const answers = await send(technician, [sent(order.id, { command: 'start' }), ...some, sent(order.id, { command: 'complete', passed: true }), sent(order.id, { command: 'complete', passed: false })]);
    expect(answers.slice(-2).map(({ refusal }) => refusal?.code)).toEqual(['device-unchecked', 'device-unchecked']);
    expect((await whole(order.id)).state).toBe('started');
    await planner.post(`work-orders/${order.id}/cancel`, { reason: 'test' });
  });

  async function inspection(): Promise<WholeWorkOrder> {
    await rows(`UPDATE task SET checklist = '[]' WHERE id = $1`, world.taskId);
    return released(planner, { doorId: world.fleet.doorId, taskId: world.taskId, ...mine() });
  }
});

describe('unsafe', () => {
  test('takes the door out at once; only a passed retest brings it back, whatever a device or a planner believes', async () => {
    const order = await released(planner, { doorId: world.fleet.doorId, taskId: world.taskId, ...mine() });
    const findingId = randomUUID();
    const [beam] = beamTests(order);
    await send(technician, [sent(order.id, { command: 'start' }), ...workThrough(order)]);
    await send(technician, [sent(order.id, { command: 'report', finding: { id: findingId, severity: 'unsafe', text: 'Beam dead', stepId: beam! } })]);
    expect(await door()).toMatchObject({ state: 'out-of-service', stateReason: 'Unsafe: Beam dead' });
    const back = await planner.post(`doors/${world.fleet.doorId}/state`, { state: 'in-service', reason: 'looks fine' });
    expect([back.status, (await door()).state]).toEqual([409, 'out-of-service']);
    expect((await planner.patch(`findings/${findingId}`, 1, { resolution: 'by word' })).status).toBe(409);
    const [refused] = await send(technician, [sent(order.id, { command: 'complete', passed: true })]);
    expect(refused!.refusal!.code).toBe('unsafe-finding');
    await send(technician, [sent(order.id, { command: 'complete', passed: false })]);
    expect((await door()).state).toBe('out-of-service');

    const { correctiveId } = (await planner.get(`findings/${findingId}`)).body;
    const retest: WholeWorkOrder = (await planner.post(`work-orders/${correctiveId}/release`)).body;
    expect(retest.retests.map(({ id }) => id)).toEqual([findingId]);
    expect(beamTests(retest).length).toBe(2);
    await send(technician, [sent(retest.id, { command: 'start' }), ...workThrough(retest)]);
    // A second unsafe finding, by hand, that this order does not test: the door stays out when it passes.
    const second = (await technician.post('findings', { doorId: world.fleet.doorId, severity: 'unsafe', text: 'Edge torn' })).body;
    await send(technician, [sent(retest.id, { command: 'complete', passed: true })]);
    expect((await planner.get(`findings/${findingId}`)).body).toMatchObject({ open: false, clearedById: retest.id });
    expect((await door()).state).toBe('out-of-service');

    const last: WholeWorkOrder = (await planner.post(`work-orders/${second.correctiveId}/release`)).body;
    await send(technician, [sent(last.id, { command: 'start' }), ...workThrough(last), sent(last.id, { command: 'complete', passed: true })]);
    expect(await door()).toMatchObject({ state: 'in-service', stateReason: `Tested again and passed: work order ${last.number}` });
    const states = await rows(`SELECT detail->>'state' AS state FROM ledger_entry WHERE action = 'door-state-set' AND subject_id = $1 ORDER BY sequence`, world.fleet.doorId);
    expect(states.map(({ state }) => state)).toEqual(['out-of-service', 'in-service']);
  });

  test('a door that somebody took out by hand stays out after the retest', async () => {
    const { doorId } = world.otherOwner;
    await planner.post(`doors/${doorId}/state`, { state: 'out-of-service', reason: 'Hall is being rebuilt' });
    const { correctiveId } = (await technician.post('findings', { doorId, severity: 'unsafe', text: 'Beam dead' })).body;
    const retest: WholeWorkOrder = (await planner.post(`work-orders/${correctiveId}/release`)).body;
    await send(technician, [sent(retest.id, { command: 'start' }), ...workThrough(retest), sent(retest.id, { command: 'complete', passed: true })]);
    expect((await planner.get(`doors/${doorId}`)).body).toMatchObject({ state: 'out-of-service', stateReason: 'Hall is being rebuilt' });
  });

  test('a failed retest leaves the finding open, and a further order can be made for it', async () => {
    const made = (await technician.post('findings', { doorId: world.fleet.doorId, severity: 'unsafe', text: 'Beam dead again' })).body;
    expect((await planner.post('work-orders', { findingId: made.id })).status).toBe(400);
    const retest: WholeWorkOrder = (await planner.post(`work-orders/${made.correctiveId}/release`)).body;
    const [beam] = beamTests(retest);
    await send(technician, [
      sent(retest.id, { command: 'start' }), ...workThrough(retest, { [beam!]: { kind: 'test-device', passed: false, remark: 'still dead' } }),
      sent(retest.id, { command: 'report', finding: { id: randomUUID(), severity: 'defect', text: 'Receiver broken', stepId: beam! } }),
      sent(retest.id, { command: 'complete', passed: false }),
    ]);
    expect((await door()).state).toBe('out-of-service');
    const further = await released(planner, { findingId: made.id, technicianId: world.accountIds.technician });
    await send(technician, [sent(further.id, { command: 'start' }), ...workThrough(further), sent(further.id, { command: 'complete', passed: true })]);
    expect((await door()).state).toBe('in-service');
  });
});

test('a page works an order through as a device does', async () => {
  const order = await released(planner, byHand());
  const early = await technician.post(`work-orders/${order.id}/complete`, { passed: true });
  expect([early.status, early.body.refusal.code]).toEqual([409, 'not-in-this-state']);
  expect((await technician.post(`work-orders/${order.id}/start`)).body.state).toBe('started');
  for (const step of order.steps.filter(({ optional }) => !optional)) {
    expect((await technician.post(`work-orders/${order.id}/answer`, { stepId: step.id, answer: passing(step) })).status).toBe(200);
  }
  const reported = await technician.post(`work-orders/${order.id}/report`, { id: randomUUID(), severity: 'note', text: 'Dusty' });
  expect(reported.body.findings).toMatchObject([{ severity: 'note', correctiveId: null }]);
  const resolved = await technician.patch(`findings/${reported.body.findings[0].id}`, 1, { resolution: 'Cleaned' });
  expect([resolved.status, resolved.body.open, resolved.body.resolution]).toEqual([200, false, 'Cleaned']);
  expect((await technician.post(`work-orders/${order.id}/complete`, { passed: true })).body).toMatchObject({ state: 'completed', answeredCount: order.steps.filter(({ optional }) => !optional).length });
  expect(world.accountIds.technician).toBe((await whole(order.id)).completedById);
});
