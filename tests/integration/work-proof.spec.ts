import type { WholeWorkOrder } from '@lintel/contract';
import { civilDateAt } from '@lintel/engine';
import { afterAll, beforeAll, expect, test } from 'vitest';
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

/** A day as the site in Oslo counts it: an hour or two before midnight in UTC it has the next one. */
const day = (days: number): string => civilDateAt(Date.now() + days * 86_400_000, 'Europe/Oslo');
const whole = async (id: string): Promise<WholeWorkOrder> => (await planner.get(`work-orders/${id}`)).body;
const inspection = (): Promise<WholeWorkOrder> =>
  released(planner, { doorId: world.fleet.doorId, taskId: world.taskId, technicianId: world.accountIds.technician });
const cancel = (id: string) => planner.post(`work-orders/${id}/cancel`, { reason: 'test' });

test('once the company keeps a gauge, a force test names it, and goes by its own record and not by what the device says of it', async () => {
  const order = await inspection();
  const step = order.steps.find(({ kind }) => kind === 'force-test')!;
  const cautions = order.steps.filter((one) => one.kind === 'confirm' && one.caution);
  const measured = (instrumentId?: string) => {
    const answer = { ...passing(step), ...(instrumentId !== undefined && { instrumentId }) };
    return sent(order.id, { command: 'answer', stepId: step.id, answer: answer as never });
  };
  const begun = [sent(order.id, { command: 'start' }), ...cautions.map(({ id }) => sent(order.id, { command: 'answer', stepId: id, answer: { kind: 'confirm', confirmed: true } }))];
  expect((await send(technician, [...begun, measured()])).at(-1)).toMatchObject({ outcome: 'applied' });

  const figures = { kind: 'force-gauge', samplingHertz: 1000, accuracyPercent: 3, rangeFromNewton: 25, rangeToNewton: 2000, springNewtonPerMm: 500, discMm: 80 };
  const gauge = (await planner.post('instruments', { name: 'Gauge 1', maker: 'Invented', ...figures })).body.id;
  const calibrate = (calibratedOn: string, dueOn: string) =>
    planner.post('calibrations', { instrumentId: gauge, calibratedOn, dueOn, laboratory: 'Invented laboratory', certificateNumber: 'C-1' });
  const refusal = async (instrumentId?: string) => (await send(technician, [measured(instrumentId)]))[0]!.refusal;
  expect(await refusal()).toMatchObject({ code: 'gauge-not-usable', facts: { reasons: ['not-on-record'] } });
  // The device says `calibrated today`; the record knows of no calibration, and then of one that has run out.
  expect(await refusal(gauge)).toMatchObject({ code: 'gauge-not-usable', facts: { reasons: ['calibration-unknown'] } });
  expect((await calibrate(day(-500), day(-135))).status).toBe(201);
  expect(await refusal(gauge)).toMatchObject({ code: 'gauge-not-usable', facts: { reasons: ['calibration-expired'] } });
  expect((await calibrate(day(-10), day(355))).status).toBe(201);
  expect(await refusal(gauge)).toBeNull();
  const value = (await whole(order.id)).answers.findLast(({ stepId }) => stepId === step.id)!.value;
  expect(value).toMatchObject({ kind: 'force-test', outcome: 'passed', instrumentId: gauge, gauge: { calibratedOn: day(-10), accuracyPercent: 3 } });
  await cancel(order.id);
  // Out of the way of what follows: a retired gauge is kept no more.
  const kept = (await planner.get(`instruments/${gauge}`)).body;
  expect((await planner.delete(`instruments/${gauge}`, kept.version)).status).toBeLessThan(300);
});

test('once competences are on record, only who has one passes an inspection; anybody may say that a door is not safe', async () => {
  const { accountIds: { technician: accountId, planner: other } } = world;
  const competent = (who: string, kind: string, validUntil: string) =>
    world.callers.administrator.post('competences', { accountId: who, kind, evidence: 'Course', issuer: 'Invented school', validFrom: day(-700), validUntil });
  const order = await inspection();
  const complete = async (passed = true) => (await send(technician, [sent(order.id, { command: 'complete', passed })]))[0]!;
  expect((await competent(other, 'safety-inspection', day(30))).status).toBe(201);
  expect((await competent(accountId, 'safety-inspection', day(-1))).status).toBe(201);
  await send(technician, [sent(order.id, { command: 'start' }), ...workThrough(order)]);
  expect((await complete()).refusal).toMatchObject({ code: 'not-competent', facts: { kinds: ['safety-inspection'] } });
  expect((await whole(order.id)).state).toBe('started');

  expect((await competent(other, 'force-measurement', day(30))).status).toBe(201);
  expect((await complete()).refusal?.facts).toEqual({ kinds: ['safety-inspection', 'force-measurement'] });
  expect((await competent(accountId, 'safety-inspection', day(300))).status).toBe(201);
  expect((await complete()).refusal?.facts).toEqual({ kinds: ['force-measurement'] });
  expect((await competent(accountId, 'force-measurement', day(0))).status).toBe(201);
  expect(await complete()).toMatchObject({ outcome: 'applied', refusal: null });

  const unsafe = await inspection();
  const another = world.callers.administrator;
  await send(another, [sent(unsafe.id, { command: 'start' }), ...workThrough(unsafe)]);
  const last = async (passed: boolean) => (await send(another, [sent(unsafe.id, { command: 'complete', passed })]))[0]!;
  expect((await last(true)).refusal?.code).toBe('not-competent');
  expect((await last(false)).outcome).toBe('applied');
});
