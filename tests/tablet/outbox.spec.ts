import type { TechnicianCommand } from '@lintel/contract';
import { afterEach, beforeEach, describe, expect, it, vi } from 'vitest';
import { type Database, forgetIfSent } from '../../apps/tablet/src/keep/database.js';
import { keepImage } from '../../apps/tablet/src/keep/images.js';
import { record, saveAnswers, settle, waiting } from '../../apps/tablet/src/keep/outbox.js';
import { readNeeds } from '../../apps/tablet/src/keep/read.js';
import { saveState } from '../../apps/tablet/src/keep/saveState.js';
import { StorageFull } from '../../apps/tablet/src/keep/storageFull.js';
import { syncRound, WireError } from '../../apps/tablet/src/keep/sync.js';
import { aDoor, anImage, anOrder, aState, beam, colleague, cut, me, newDevice, orderId, received, reopened, roundWith, Server } from './world.js';

let device: Database;
let server: Server;

beforeEach(async () => {
  device = await newDevice();
  server = new Server();
  await received(device);
});
afterEach(() => {
  vi.restoreAllMocks();
  device.close();
});

const start: TechnicianCommand = { command: 'start' };
const stepOf = (kind: string): string => anOrder().steps.find((step) => step.kind === kind)!.id;
const answer = (kind: string, given: object): TechnicianCommand =>
  ({ command: 'answer', stepId: stepOf(kind), answer: { kind, ...given } }) as TechnicianCommand;
const caution = answer('confirm', { confirmed: true });
const tension = (value: number): TechnicianCommand => answer('measure', { value, unit: 'mm' });
const beamWorks = answer('test-device', { passed: true });

async function doAll(...commands: TechnicianCommand[]): Promise<string[]> {
  const ids: string[] = [];
  for (const command of commands) {
    const outcome = await record(device, me, { orderId, command });
    if ('refused' in outcome) throw new Error(`${command.command}: ${outcome.refused}`);
    ids.push(outcome.id);
  }
  return ids;
}

async function local() {
  const kept = await device.get('orders', orderId);
  if (!kept) throw new Error('the order is gone');
  return kept.local;
}

const values = async (): Promise<unknown[]> => (await local()).answers.map(({ value }) => ('value' in value ? value.value : value.outcome));

/** Makes one kind of write fail, as a full disk or a kill in the middle of a transaction does. */
function failing(store: string, error: Error): void {
  const { put, add } = Object.getOwnPropertyDescriptors(IDBObjectStore.prototype);
  vi.spyOn(IDBObjectStore.prototype, 'put').mockImplementation(function (this: IDBObjectStore, ...words) {
    if (this.name === store) throw error;
    return put.value!.apply(this, words);
  });
  vi.spyOn(IDBObjectStore.prototype, 'add').mockImplementation(function (this: IDBObjectStore, ...words) {
    if (this.name === store) throw error;
    return add.value!.apply(this, words);
  });
}

describe('what is done on the device', () => {
  it('is kept with its effect, and still there when the device comes on again', async () => {
    await doAll(start, caution, tension(9));
    device = await reopened(device);
    expect((await local()).state).toBe('started');
    expect(await values()).toEqual(['passed', 9]);
    expect((await waiting(device, 10)).map(({ command }) => command.command)).toEqual(['start', 'answer', 'answer']);
  });

  it('keeps nothing of what the rules refuse, and says why', async () => {
    await doAll(start);
    expect(await record(device, me, { orderId, command: tension(9) })).toMatchObject({ refused: 'cautions-first' });
    expect(await record(device, me, { orderId, command: answer('measure', { value: 9, unit: 'in' }) })).toHaveProperty('refused');
    expect(await waiting(device, 10)).toHaveLength(1);
    expect((await local()).answers).toEqual([]);
  });

  it.each(['orders', 'outbox', 'images'])('is kept whole or not at all: a write into %s that fails undoes the others', async (store) => {
    await doAll(start);
    const before = await local();
    failing(store, new Error('the power is gone'));
    await expect(record(device, me, { orderId, command: { command: 'sign', imageId: beam, signerName: 'Ola' }, image: anImage(beam) })).rejects.toThrow('the power is gone');
    vi.restoreAllMocks();
    device = await reopened(device);
    expect(await local()).toEqual(before);
    expect(await waiting(device, 10)).toHaveLength(1);
    expect(await device.count('images')).toBe(0);
  });

  it('says so when the device is full, and loses nothing that it kept before', async () => {
    await doAll(start, caution);
    await keepImage(device, anImage(beam));
    failing('images', new DOMException('no room', 'QuotaExceededError'));
    await expect(keepImage(device, anImage(orderId))).rejects.toThrow(StorageFull);
    vi.restoreAllMocks();
    failing('outbox', new DOMException('no room', 'QuotaExceededError'));
    await expect(doAll(tension(9))).rejects.toThrow(/full.*Nothing that was kept before is lost/);
    vi.restoreAllMocks();
    device = await reopened(device);
    expect(await waiting(device, 10)).toHaveLength(2);
    expect((await device.get('images', beam))?.blob.size).toBe(6);
    await doAll(tension(9));
    expect(await values()).toEqual(['passed', 9]);
  });

  it('ends the draft that it came from, in the same transaction', async () => {
    await doAll(start, caution);
    await device.put('drafts', { key: 'a', value: 1 });
    await record(device, me, { orderId, command: tension(9), draft: 'a' });
    expect(await device.count('drafts')).toBe(0);
  });
});

describe('signing out', () => {
  it('takes the data off the device, but not while something has not been sent', async () => {
    await doAll(start);
    expect(await forgetIfSent(device, me.id)).toBe(false);
    expect((await local()).state).toBe('started');
    await syncRound(roundWith(device, server));
    expect(await forgetIfSent(device, me.id)).toBe(true);
    device = await reopened(device);
    expect(await device.count('orders')).toBe(0);
  });
});

describe('sending', () => {
  it('goes in the order in which it was done, images before the command that names them', async () => {
    const photo = '019ad0a0-0000-7000-8000-0000000000ff';
    await keepImage(device, anImage(photo));
    const order: string[] = [];
    server.before = (request) => void order.push(request);
    const ids = await doAll(start, caution, answer('photograph', { photoIds: [photo] }), tension(9));
    await syncRound(roundWith(device, server));
    expect(order).toEqual(['image', 'commands', 'state']);
    expect(server.seen).toEqual(ids);
    expect(server.images).toEqual([photo]);
    expect(await device.count('outbox')).toBe(0);
    expect((await local()).version).toBe(server.order.version);
    await syncRound(roundWith(device, server));
    expect(server.images).toEqual([photo]);
    expect(server.seen).toEqual(ids);
  });

  it('does each thing once, wherever the line is cut', async () => {
    await keepImage(device, anImage(beam));
    await doAll(start, caution, tension(9), answer('photograph', { photoIds: [beam] }));
    for (const [place, request] of [['before', 'image'], ['after', 'image'], ['before', 'commands'], ['after', 'commands'], ['before', 'state'], ['after', 'state']] as const) {
      server[place] = (asked) => asked === request && cut();
      await expect(syncRound(roundWith(device, server))).rejects.toThrow(WireError);
      server[place] = () => undefined;
      device = await reopened(device);
      expect(await values()).toEqual(['passed', 9, 'recorded']);
    }
    await syncRound(roundWith(device, server));
    expect(server.applied).toBe(4);
    expect(server.order.answers).toHaveLength(3);
    expect(await device.count('outbox')).toBe(0);
    expect(await values()).toEqual(['passed', 9, 'recorded']);
  });

  it('goes on past what is refused; that is listed and its effect taken back, and dealing with it loses nothing', async () => {
    await doAll(start, caution, tension(9), beamWorks);
    // Meanwhile the planner's copy of the order has lost the step that was measured.
    server.order = { ...server.order, steps: server.order.steps.filter(({ kind }) => kind !== 'measure') };
    await syncRound(roundWith(device, server));
    expect(await values()).toEqual(['passed', 'passed']);
    const { refused } = await readNeeds(device);
    expect(refused).toMatchObject([{ command: { stepId: stepOf('measure'), answer: { value: 9 } }, refusal: { code: 'no-such-step' }, about: 'Gate 4: Safety inspection' }]);
    await settle(device, refused[0]!.seq!);
    expect(await readNeeds(device)).toMatchObject({ refused: [], settled: [{ command: { answer: { value: 9 } } }] });
  });

  it('finds the one command that the server cannot read, and sends the others', async () => {
    const ids = await doAll(start, caution, tension(9), beamWorks, tension(10));
    server.unreadable.add(ids[2]!);
    await syncRound(roundWith(device, server));
    expect(server.applied).toBe(4);
    expect((await readNeeds(device)).refused).toMatchObject([{ id: ids[2], refusal: { code: 'not-accepted', facts: { detail: 'command: is not valid' } } }]);
    expect((await local()).answers.map(({ id }) => id)).toEqual([ids[1], ids[3], ids[4]]);
  });

  it('lists the command whose image is refused, and sends those behind it', async () => {
    await keepImage(device, anImage(beam));
    const ids = await doAll(start, caution, answer('photograph', { photoIds: [beam] }), tension(9));
    server.before = (request) => {
      if (request === 'image') throw new WireError(415, 'This is no picture.');
    };
    await syncRound(roundWith(device, server));
    expect((await readNeeds(device)).refused).toMatchObject([{ id: ids[2], refusal: { code: 'image-not-accepted' } }]);
    expect(server.seen).toEqual([ids[0], ids[1], ids[3]]);
  });

  it('does not go round for ever where the server answers nothing', async () => {
    await doAll(start);
    const mute = Object.assign(Object.create(server) as Server, { sendCommands: async () => ({ serverTime: '', answers: [] }) });
    await expect(syncRound(roundWith(device, mute))).rejects.toThrow('did not answer');
    expect(await waiting(device, 10)).toHaveLength(1);
  });

  it('carries a week without a signal, and a sign-in that ended meanwhile', async () => {
    await doAll(start, caution);
    for (let count = 0; count < 240; count++) await doAll(tension(5 + (count % 10)));
    server.before = () => {
      throw new WireError(401, 'Sign in first.');
    };
    await expect(syncRound(roundWith(device, server))).rejects.toThrow('Sign in first.');
    expect(await waiting(device, 1000)).toHaveLength(242);
    server.before = () => undefined;
    await syncRound(roundWith(device, server));
    expect(server.applied).toBe(242);
    expect(server.order.answers.at(-1)?.value).toMatchObject({ value: 14 });
  });
});

describe('the state that comes back', () => {
  it('is kept with its cursor or not at all', async () => {
    failing('meta', new Error('the power is gone'));
    const next = aState({ reset: false, cursor: '2', orders: [anOrder({ title: 'Another title' })] });
    await expect(saveState(device, next, 1, 0)).rejects.toThrow('the power is gone');
    vi.restoreAllMocks();
    device = await reopened(device);
    expect((await local()).title).toBe('Safety inspection');
    expect(await device.get('meta', 'cursor')).toBe('1');
  });

  it('lies beneath what was done here since: both are seen', async () => {
    await doAll(start, caution, tension(9));
    await received(device, aState({ reset: false, cursor: '2', orders: [anOrder({ title: 'Moved', plannedOn: '2026-11-26' })] }));
    expect(await local()).toMatchObject({ title: 'Moved', plannedOn: '2026-11-26', state: 'started' });
    expect(await values()).toEqual(['passed', 9]);
  });

  it('does not show what an order cancelled meanwhile can no longer take, and still sends it', async () => {
    await doAll(start, caution);
    server.order = anOrder({ state: 'cancelled', cancelReason: 'The door is gone.' });
    await received(device, aState({ reset: false, cursor: '2', orders: [server.order] }));
    expect(await local()).toMatchObject({ state: 'cancelled', answers: [] });
    await syncRound(roundWith(device, server));
    expect((await readNeeds(device)).refused.map(({ refusal }) => refusal?.code)).toEqual(['not-in-this-state', 'not-in-this-state']);
  });

  it('that begins anew forgets everything but what was not sent, and its order', async () => {
    const other = anOrder({ id: '019ad0a0-0000-7000-8000-0000000000ee', doorId: '019ad0a0-0000-7000-8000-0000000000ed' });
    const away = aDoor({ door: { ...aDoor().door, id: other.doorId } });
    await received(device, aState({ reset: false, cursor: '2', orders: [other], doors: [away] }));
    await doAll(start, caution);
    await received(device, aState({ cursor: '9', orders: [], doors: [] }));
    expect(await device.getAllKeys('orders')).toEqual([orderId]);
    expect(await device.getAllKeys('doors')).toEqual([anOrder().doorId]);
    expect(await device.get('orders', orderId)).toMatchObject({ gone: true, local: { state: 'started' } });
    expect(await waiting(device, 10)).toHaveLength(2);
    expect(await device.get('meta', 'cursor')).toBe('9');
    await syncRound(roundWith(device, server));
    expect(server.applied).toBe(2);
  });

  it('lets an order go that is somebody else’s now, with its images, once everything is sent', async () => {
    await keepImage(device, anImage(beam));
    await doAll(start, caution, answer('photograph', { photoIds: [beam] }));
    await received(device, aState({ reset: false, cursor: '2', orders: [], gone: [orderId] }));
    expect(await device.get('orders', orderId)).toMatchObject({ gone: true });
    await syncRound(roundWith(device, server));
    await received(device, aState({ reset: false, cursor: '99', orders: [], gone: [orderId] }));
    expect(await device.count('orders')).toBe(0);
    expect(await device.count('images')).toBe(0);
  });

  it('leaves an answer that contradicts another’s to a person, and settles it', async () => {
    await doAll(start, caution);
    await syncRound(roundWith(device, server));
    const [mine] = await doAll(tension(9));
    // A colleague answered the same step meanwhile: the server keeps mine beside his and says so.
    const his = { id: '019ad0a0-0000-7000-8000-0000000000dd', stepId: stepOf('measure'), value: { kind: 'measure' as const, outcome: 'passed' as const, value: 12, unit: 'mm' },
      baseId: null, settlesId: null, counts: true, accountId: colleague.id, accountName: colleague.name, at: '2026-11-25T08:50:00.000Z', deviceAt: null };
    await saveAnswers(device, me, [{ id: mine!, outcome: 'contested', refusal: null }]);
    server.order = { ...server.order, answers: [...server.order.answers, his, { ...his, id: mine!, value: { ...his.value, value: 9 }, counts: false, accountId: me.id, accountName: me.name }],
      conflicts: [{ stepId: his.stepId, standingId: his.id, contestedId: mine! }] };
    await received(device, aState({ reset: false, cursor: '3', orders: [server.order] }));
    expect((await readNeeds(device)).contested).toMatchObject([{ stepText: 'Chain tension', answerId: mine }]);
    expect(await record(device, me, { orderId, command: { command: 'complete', passed: true } })).toHaveProperty('refused');
    await doAll({ ...(tension(9) as Extract<TechnicianCommand, { command: 'answer' }>), settlesId: mine!, baseId: his.id });
    expect((await readNeeds(device)).contested).toEqual([]);
    expect((await waiting(device, 10)).at(-1)?.command).toMatchObject({ settlesId: mine, baseId: his.id });
  });

  it('says on which answer a further one stands', async () => {
    const [, , first] = await doAll(start, caution, tension(9));
    await doAll(tension(10));
    expect((await waiting(device, 10)).map(({ command }) => ('baseId' in command ? command.baseId : undefined))).toEqual([undefined, null, null, first]);
  });

  it('notes how far the clocks are apart', async () => {
    await syncRound({ ...roundWith(device, server), now: () => Date.parse('2026-11-25T08:07:00Z') });
    expect(await device.get('meta', 'offsetMs')).toBe(-420_000);
  });
});
