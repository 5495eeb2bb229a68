import { randomUUID } from 'node:crypto';
import { mostImageBytes, type CommandAnswer, type DeviceState, type WholeWorkOrder } from '@lintel/contract';
import { runDeviceCommands, type Sender } from '@lintel/store';
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import { addAccount, type Caller } from '../support/api.js';
import { openApiWorld, type ApiWorld } from '../support/apiWorld.js';
import { passing, released, send, sent, workThrough, type Sent } from '../support/work.js';

let world: ApiWorld;
let planner: Caller;
let technician: Caller;
let second: Caller;
let secondId: string;
beforeAll(async () => {
  world = await openApiWorld();
  ({ planner, technician } = world.callers);
  secondId = await addAccount(world.database.store, world.company, 'technician', 'second@a.example', null);
  second = await world.api.signIn('second@a.example');
});
afterAll(() => world?.close());

const rows = async (sql: string, ...values: unknown[]) => (await world.database.owner.query(sql, values)).rows;
const count = async (table: string, where: string, ...values: unknown[]): Promise<number> =>
  Number((await rows(`SELECT count(*) AS n FROM ${table} WHERE ${where}`, ...values))[0]!.n);
const whole = async (id: string): Promise<WholeWorkOrder> => (await planner.get(`work-orders/${id}`)).body;
const order = (more: object = {}): Promise<WholeWorkOrder> =>
  released(planner, { doorId: world.fleet.doorId, kind: 'corrective', title: 'Sync', ...more });
const words = (answers: CommandAnswer[]): string[] => answers.map(({ outcome, refusal }) => refusal?.code ?? outcome);
const stepOf = (one: WholeWorkOrder, kind: string) => one.steps.find((step) => step.kind === kind)!;
const cautions = (one: WholeWorkOrder): Sent[] => one.steps.flatMap((step) =>
  (step.kind === 'confirm' && step.caution ? [sent(one.id, { command: 'answer', stepId: step.id, answer: { kind: 'confirm', confirmed: true } })] : []));
const text = (one: WholeWorkOrder, words_: string, over: object = {}): Sent =>
  sent(one.id, { command: 'answer', stepId: stepOf(one, 'text').id, answer: { kind: 'text', text: words_ }, ...over });
const sender = (): Sender => ({ context: { ...world.company, accountId: world.accountIds.technician, actor: 'tablet' }, accountId: world.accountIds.technician, planner: false });

describe('commands sent twice', () => {
  test('in parallel have one effect, and the same answers', async () => {
    const one = await order({ parts: ['drive-chain'] });
    const fit = stepOf(one, 'fit-part');
    const batch = [
      sent(one.id, { command: 'start' }),
      ...workThrough(one, { [fit.id]: { kind: 'fit-part', removed: { reason: 'worn' }, fitted: { serial: 'ONCE' } } }),
      sent(one.id, { command: 'report', finding: { id: randomUUID(), severity: 'defect', text: 'Once' } }),
      sent(one.id, { command: 'complete', passed: false }),
    ];
    const all = await Promise.all(Array.from({ length: 6 }, () => send(technician, batch)));
    const plain = all.map((answers) => answers.map((answer) => ({ ...answer, repeated: null })));
    for (const answers of plain) expect(answers).toEqual(plain[0]);
    expect(all.filter((answers) => answers.every(({ repeated }) => !repeated)).length).toBe(1);
    expect(await count('work_answer', 'work_order_id = $1', one.id)).toBe(batch.length - 3);
    expect(await count('fitted_part', `serial = 'ONCE'`)).toBe(1);
    expect(await count('finding', 'work_order_id = $1', one.id)).toBe(1);
    expect(await count('work_order', `title = 'Once'`)).toBe(1);
    expect(await count('reading', 'door_id = $1', world.fleet.doorId)).toBe(1);
  });

  test('an id that somebody else has used is refused, and does nothing', async () => {
    const one = await order();
    const start = sent(one.id, { command: 'start' });
    await send(technician, [start]);
    expect(words(await send(second, [start]))).toEqual(['id-taken']);
  });
});

test('what cannot be read or done does not stop what is behind it', async () => {
  const one = await order();
  const foreign = randomUUID();
  const answers = await send(technician, [
    { ...sent(one.id, { command: 'start' }), command: { command: 'explode' } as never },
    sent(foreign, { command: 'start' }),
    sent(one.id, { command: 'complete', passed: true }),
    sent(one.id, { command: 'start' }),
    sent(one.id, { command: 'start' }),
    sent(one.id, { command: 'sign', imageId: randomUUID(), signerName: 'Somebody' }),
    text(one, 'too early'),
    ...cautions(one),
    text(one, 'in time'),
  ]);
  expect(words(answers)).toEqual(['not-a-command', 'no-such-order', 'not-in-this-state', 'applied', 'applied', 'no-such-image', 'cautions-first', ...cautions(one).map(() => 'applied'), 'applied']);
  expect((await whole(one.id)).keptWork.map(({ refusal }) => refusal!.code)).toEqual(['not-a-command', 'not-in-this-state', 'no-such-image', 'cautions-first']);
  const tooMany = await technician.post('device/commands', { device: 't', commands: Array.from({ length: 501 }, () => sent(one.id, { command: 'start' })) });
  expect([tooMany.status, tooMany.body.errors[0].field]).toEqual([400, 'commands']);
  for (const caller of [world.callers.owner]) expect((await caller.post('device/commands', { device: 't', commands: [sent(one.id, { command: 'start' })] })).status).toBe(403);
  const [elsewhere] = await runDeviceCommands(world.database.store, { ...sender(), context: { ...world.otherCompany, accountId: null, actor: 'tablet' }, accountId: world.accountIds.technician }, { device: 't', commands: [] }) as CommandAnswer[];
  expect(elsewhere).toBeUndefined();
});

describe('two technicians on one order', () => {
  test('contradict each other at one step: both answers stay, and a person settles it before it is completed', async () => {
    const one = await order();
    await send(technician, [sent(one.id, { command: 'start' }), ...cautions(one), ...workThrough(one).filter(({ command }) => command.command === 'answer' && stepOf(one, 'text').id !== command.stepId), text(one, 'first says')]);
    const [late] = await send(second, [text(one, 'second says')]);
    expect(late!.outcome).toBe('contested');
    // The same words would have been no contradiction.
    expect(words(await send(second, [sent(one.id, { command: 'answer', stepId: one.steps[0]!.id, answer: { kind: 'confirm', confirmed: true } })]))).toEqual(['applied']);
    const now = await whole(one.id);
    const texts = now.answers.filter(({ stepId }) => stepId === stepOf(one, 'text').id);
    expect(texts.map(({ value, counts, accountId }) => [(value as { text: string }).text, counts, accountId]))
      .toEqual([['first says', true, world.accountIds.technician], ['second says', false, secondId]]);
    expect(now.conflicts).toEqual([{ stepId: stepOf(one, 'text').id, standingId: texts[0]!.id, contestedId: texts[1]!.id }]);
    expect([now.conflictCount, (await planner.get('work-orders?conflicted=true')).body.items.map(({ id }: { id: string }) => id)]).toEqual([1, [one.id]]);
    expect(words(await send(technician, [sent(one.id, { command: 'complete', passed: true })]))).toEqual(['conflict-unsettled']);
    // Who settles it must have seen what stands.
    expect(words(await send(technician, [text(one, 'blind', { settlesId: texts[1]!.id })]))).toEqual(['contested']);
    const settled = await planner.post(`work-orders/${one.id}/answer`, {
      stepId: stepOf(one, 'text').id, answer: { kind: 'text', text: 'both agree' }, baseId: texts[0]!.id, settlesId: texts[1]!.id,
    });
    const [blind] = settled.body.conflicts;
    expect([settled.status, settled.body.conflicts.length]).toEqual([200, 1]);
    await planner.post(`work-orders/${one.id}/answer`, {
      stepId: stepOf(one, 'text').id, answer: { kind: 'text', text: 'both agree' }, baseId: blind.standingId, settlesId: blind.contestedId,
    });
    expect(words(await send(technician, [sent(one.id, { command: 'complete', passed: true })]))).toEqual(['applied']);
  });

  test('a safety check always asks a person, and a contested failure keeps the order from being passed', async () => {
    const made = (await technician.post('findings', { doorId: world.fleet.doorId, severity: 'unsafe', text: 'Beam dead' })).body;
    const one: WholeWorkOrder = (await planner.post(`work-orders/${made.correctiveId}/release`)).body;
    const test_ = stepOf(one, 'test-device');
    await send(technician, [sent(one.id, { command: 'start' }), ...workThrough(one)]);
    const failing = sent(one.id, { command: 'answer', stepId: test_.id, answer: { kind: 'test-device', passed: false, remark: 'dead for me' } });
    const same = sent(one.id, { command: 'answer', stepId: test_.id, answer: { kind: 'test-device', passed: true } });
    expect(words(await send(second, [same, failing]))).toEqual(['contested', 'contested']);
    const now = await whole(one.id);
    // Of one person the last is meant.
    expect(now.conflicts.map(({ contestedId }) => contestedId)).toEqual([failing.id]);
    expect(words(await send(technician, [sent(one.id, { command: 'complete', passed: true })]))).toEqual(['conflict-unsettled']);
    const settle = { stepId: test_.id, baseId: now.conflicts[0]!.standingId, settlesId: failing.id };
    const bare = await planner.post(`work-orders/${one.id}/answer`, { ...settle, answer: passing(test_) });
    expect([bare.status, bare.body.refusal.code]).toEqual([409, 'remark-needed']);
    expect((await planner.post(`work-orders/${one.id}/answer`, { ...settle, answer: { ...passing(test_), remark: 'tested by both together' } })).status).toBe(200);
    expect(words(await send(technician, [sent(one.id, { command: 'complete', passed: true })]))).toEqual(['applied']);
    expect((await planner.get(`doors/${world.fleet.doorId}`)).body.state).toBe('in-service');
  });

  test('an answer over the one that stands counts, by whomever', async () => {
    const one = await order();
    const first = text(one, 'first');
    await send(technician, [sent(one.id, { command: 'start' }), ...cautions(one), first]);
    expect(words(await send(second, [text(one, 'seen and told better', { baseId: first.id })]))).toEqual(['applied']);
    expect((await whole(one.id)).conflicts).toEqual([]);
  });
});

describe('meanwhile', () => {
  test('the order was cancelled: the work is refused, kept and shown; an unsafe finding still takes the door out', async () => {
    const one = await order({ technicianId: world.accountIds.technician });
    await send(technician, [sent(one.id, { command: 'start' })]);
    await planner.post(`work-orders/${one.id}/cancel`, { reason: 'Customer called' });
    const findingId = randomUUID();
    const batch = [
      ...workThrough(one), sent(one.id, { command: 'record-time', kind: 'work', minutes: 45, startedAt: new Date().toISOString() }),
      sent(one.id, { command: 'report', finding: { id: findingId, severity: 'unsafe', text: 'Chain about to break' } }), sent(one.id, { command: 'complete', passed: true }),
    ];
    const answers = await send(technician, batch);
    expect(words(answers)).toEqual([...workThrough(one).map(() => 'not-in-this-state'), 'applied', 'applied', 'not-in-this-state']);
    const kept = (await whole(one.id)).keptWork;
    expect(kept.map(({ command }) => command)).toEqual(batch.filter((_, index) => answers[index]!.outcome === 'refused').map(({ command }) => command));
    expect(kept[0]).toMatchObject({ accountId: world.accountIds.technician, device: 'tablet 1', outcome: 'refused' });
    expect((await whole(one.id)).times).toMatchObject([{ minutes: 45 }]);
    expect((await planner.get(`findings/${findingId}`)).body).toMatchObject({ workOrderId: null, severity: 'unsafe', open: true });
    expect((await planner.get(`doors/${world.fleet.doorId}`)).body.state).toBe('out-of-service');
    const { correctiveId } = (await planner.get(`findings/${findingId}`)).body;
    const retest: WholeWorkOrder = (await planner.post(`work-orders/${correctiveId}/release`)).body;
    await send(technician, [sent(retest.id, { command: 'start' }), ...workThrough(retest), sent(retest.id, { command: 'complete', passed: true })]);
  });

  test('it went to another technician: what the first one did still counts, a stranger’s does not', async () => {
    const one = await order({ technicianId: world.accountIds.technician });
    const version = (await whole(one.id)).version;
    expect(words(await send(second, [sent(one.id, { command: 'start' })]))).toEqual(['not-yours']);
    await planner.patch(`work-orders/${one.id}`, version, { technicianId: secondId });
    expect(words(await send(technician, [sent(one.id, { command: 'start' }), ...cautions(one), text(one, 'done before')]))).not.toContain('not-yours');
    expect(words(await send(second, [sent(one.id, { command: 'start' })]))).toEqual(['applied']);
  });
});

describe('the device’s clock', () => {
  test('is evidence: both times are kept, the server’s order is the order, and a reading goes by it unless it cannot be', async () => {
    const hour = 3_600_000;
    for (const [wrongMs, believed] of [[-26 * hour, false], [5 * hour, false], [-1000, false], [0, true]] as const) {
      const one = await order();
      await rows(`UPDATE work_order SET released_at = released_at - interval '1 second' WHERE id = $1`, one.id);
      await rows('DELETE FROM reading');
      const before = Date.now();
      const made = new Date(before + wrongMs - (wrongMs === -1000 ? 2000 : 0));
      const batch = [sent(one.id, { command: 'start' }), ...workThrough(one), sent(one.id, { command: 'complete', passed: true })].map((command) => ({ ...command, madeAt: made.toISOString() }));
      expect(new Set(words(await send(technician, batch)))).toEqual(new Set(['applied']));
      const now = await whole(one.id);
      expect(now.answers.every(({ deviceAt }) => deviceAt !== null && Date.parse(deviceAt) === made.getTime())).toBe(true);
      expect(now.answers.map(({ id }) => id)).toEqual(batch.slice(1, -1).map(({ id }) => id));
      expect(now.answers.every(({ at }) => Date.parse(at) >= before)).toBe(true);
      const [reading] = await rows('SELECT at FROM reading WHERE door_id = $1', world.fleet.doorId);
      if (believed) expect(reading!.at.getTime()).toBe(made.getTime());
      else expect(reading!.at.getTime()).toBeGreaterThanOrEqual(before);
    }
  });
});

describe('a server that dies in the middle', () => {
  test('leaves nothing half: no answer, no effect, no entry, and the batch can be sent again', async () => {
    const one = await order();
    const batch = [sent(one.id, { command: 'start' }), ...workThrough(one), sent(one.id, { command: 'complete', passed: true })];
    const state = async () => rows(`SELECT (SELECT count(*) FROM work_answer) AS a, (SELECT count(*) FROM reading) AS r, (SELECT count(*) FROM device_command) AS c,
      (SELECT count(*) FROM ledger_entry) AS l, (SELECT count(*) FROM outbox) AS o, (SELECT state FROM work_order WHERE id = $1) AS s, (SELECT sum(change_no) FROM work_counter) AS n`, one.id);
    const before = await state();
    // The server's process of the transaction is ended at its last statement, as a kill would.
    await rows(`CREATE FUNCTION die() RETURNS trigger LANGUAGE plpgsql AS $$ BEGIN PERFORM pg_terminate_backend(pg_backend_pid()); RETURN NEW; END $$`);
    await rows('CREATE TRIGGER die BEFORE UPDATE ON work_order FOR EACH STATEMENT EXECUTE FUNCTION die()');
    await rows('ALTER FUNCTION die() SECURITY DEFINER');
    const killed = await technician.post('device/commands', { device: 'tablet 1', commands: batch });
    await rows('DROP TRIGGER die ON work_order');
    await rows('DROP FUNCTION die()');
    expect(killed.status).toBe(500);
    expect(await state()).toEqual(before);
    expect(new Set(words(await send(technician, batch)))).toEqual(new Set(['applied']));
    expect((await whole(one.id)).state).toBe('completed');
  });

  test('a command that the database refuses for no reason the rules know is refused alone', async () => {
    const one = await order();
    await rows(`ALTER TABLE work_time ADD CONSTRAINT odd CHECK (minutes <> 13) NOT VALID`);
    const answers = await send(technician, [
      sent(one.id, { command: 'start' }), sent(one.id, { command: 'record-time', kind: 'work', minutes: 13, startedAt: new Date().toISOString() }),
      sent(one.id, { command: 'record-time', kind: 'work', minutes: 14, startedAt: new Date().toISOString() }),
    ]);
    await rows('ALTER TABLE work_time DROP CONSTRAINT odd');
    expect(words(answers)).toEqual(['applied', 'not-a-command', 'applied']);
    expect((await whole(one.id)).times.map(({ minutes }) => minutes)).toEqual([14]);
  });
});

describe('images', () => {
  /** The smallest PNG there is: one pixel (made by hand after ISO/IEC 15948). */
  const png = Buffer.from('iVBORw0KGgoAAAANSUhEUgAAAAEAAAABCAYAAAAfFcSJAAAADUlEQVR42mNk+M9QDwADhgGAWjR9awAAAABJRU5ErkJggg==', 'base64');
  const add = (query: string, body: Buffer, type = 'image/png') => technician.ask({ method: 'POST', url: `work-images?${query}`, body, headers: { 'content-type': type } });
  const takenAt = '2026-11-25T10:00:00Z';

  test('are kept once under their id, by what they are, and signed with', async () => {
    const one = await order();
    const id = randomUUID();
    const query = `id=${id}&orderId=${one.id}&kind=signature&takenAt=${takenAt}`;
    const added = await add(query, png, 'image/jpeg');
    expect([added.status, added.body.mediaType, added.body.width, added.body.byteCount]).toEqual([201, 'image/png', 1, png.length]);
    expect((await add(query, png)).status).toBe(201);
    expect(await count('work_image', 'id = $1', id)).toBe(1);
    expect((await add(query, Buffer.concat([png, Buffer.from([0])]))).status).toBe(409);
    const read = await world.api.app.inject({ method: 'GET', url: `/api/v1/work-images/${id}`, headers: { cookie: world.callers.owner.cookie } });
    expect([read.statusCode, read.headers['content-type'], read.rawPayload.equals(png)]).toEqual([200, 'image/png', true]);
    expect(words(await send(technician, [sent(one.id, { command: 'start' }), sent(one.id, { command: 'sign', imageId: id, signerName: 'A. Customer' })]))).toEqual(['applied', 'applied']);
    expect((await whole(one.id)).signatures).toMatchObject([{ imageId: id, signerName: 'A. Customer' }]);
  });

  test('a photograph of 40 MB, and what is none, are refused by one clear error', async () => {
    const one = await order();
    const query = () => `id=${randomUUID()}&orderId=${one.id}&takenAt=${takenAt}`;
    const huge = await add(query(), Buffer.alloc(40 * 2 ** 20));
    expect([huge.status, huge.body.type, huge.body.detail]).toEqual([413, 'urn:lintel:problem:too-large', 'An image is 4 MB at most: scale it down first.']);
    expect((await add(query(), Buffer.alloc(mostImageBytes, 1))).status).toBe(415);
    expect((await add(query(), Buffer.from('<svg onload="alert(1)"/>'))).status).toBe(415);
    expect((await add(query(), png.subarray(0, 10))).status).toBe(415);
    expect((await add(query(), png, 'image/svg+xml')).status).toBe(415);
    expect((await add(`id=${randomUUID()}&orderId=${randomUUID()}&takenAt=${takenAt}`, png)).status).toBe(404);
    expect(await count('work_image', 'work_order_id = $1', one.id)).toBe(0);
  });
});

describe('what a device holds', () => {
  const state = async (query = ''): Promise<DeviceState> => (await second.get(`device/state${query}`)).body;

  test('is everything at first, then what changed, then what is gone', async () => {
    const due = new Date(Date.now() + 2 * 86_400_000).toISOString().slice(0, 10);
    const far = new Date(Date.now() + 20 * 86_400_000).toISOString().slice(0, 10);
    const one = await order({ technicianId: secondId, plannedOn: due });
    await order({ technicianId: secondId, plannedOn: far, title: 'Far' });
    await order({ technicianId: world.accountIds.technician, plannedOn: due, title: 'Another’s' });
    const first = await state();
    expect([first.reset, first.me.id, first.gone]).toEqual([true, secondId, []]);
    const ids = first.orders.map(({ id }) => id);
    expect(ids).toContain(one.id);
    expect(first.orders.map(({ title }) => title)).not.toContain('Far');
    expect(first.orders.map(({ title }) => title)).not.toContain('Another’s');
    const held = first.doors.find(({ door }) => door.id === world.fleet.doorId)!;
    expect(held).toMatchObject({ site: { timeZone: 'Europe/Oslo' }, doorType: { id: world.fleet.doorTypeId }, counters: [{ id: world.fleet.counterId }] });
    expect(held.positions.map(({ kind }) => kind)).toEqual(['drive-chain', 'light-beam']);
    expect(held.parts.length).toBeGreaterThan(0);
    expect(held.history.length).toBeGreaterThan(0);
    expect(first.deviceChecks.length).toBeGreaterThan(5);

    const same = await state(`?since=${first.cursor}`);
    expect([same.reset, same.orders, same.gone, same.cursor]).toEqual([false, [], [], first.cursor]);
    await send(second, [sent(one.id, { command: 'start' })]);
    const after = await state(`?since=${first.cursor}`);
    expect([after.orders.map(({ id, state: at }) => [id, at]), after.doors.length]).toEqual([[[one.id, 'started']], 1]);
    const { version } = await whole(one.id);
    await planner.patch(`work-orders/${one.id}`, version, { technicianId: world.accountIds.technician });
    const gone = await state(`?since=${after.cursor}`);
    expect([gone.orders, gone.gone]).toEqual([[], [one.id]]);
    for (const since of ['nonsense', '99999999.2026-11-25.7.x', `${first.cursor}x`]) expect((await state(`?since=${since}`)).reset).toBe(true);
    expect((await state(`?since=${first.cursor}&days=30`))).toMatchObject({ reset: true });
    expect((await state('?days=30')).orders.map(({ title }) => title)).toContain('Far');
  });

  test('misses nothing that is committed while it is read', async () => {
    let { cursor } = await state();
    const orders = await Promise.all(Array.from({ length: 6 }, () => order({ technicianId: secondId })));
    const seen = new Set<string>();
    const look = async (): Promise<void> => {
      for (let turn = 0; turn < 12; turn++) {
        const now = await state(`?since=${cursor}`);
        cursor = now.cursor;
        for (const { id, state: at } of now.orders) if (at === 'started') seen.add(id);
      }
    };
    await Promise.all([look(), ...orders.map((one) => send(second, [sent(one.id, { command: 'start' })])), ...orders.map(() => order())]);
    const last = await state(`?since=${cursor}`);
    for (const { id, state: at } of last.orders) if (at === 'started') seen.add(id);
    expect([...seen].filter((id) => orders.some((one) => one.id === id)).length).toBe(6);
  });
});
