import type { DeviceState, WholeWorkOrder } from '@lintel/contract';
import type { Doer } from './applyCommand.js';
import type { Database, ShelfName, Standing } from './database.js';
import { inOne, type Writing } from './inOne.js';
import { replayed } from './outbox.js';

const shelves: ShelfName[] = ['orders', 'doors', 'manuals', 'outbox', 'images', 'meta'];
/** What holds an order on the device that is nobody's any more: work that has not found its place. */
const holding: readonly Standing[] = ['waiting', 'refused'];

/**
 * A batch of the server's state and its cursor, in one transaction: after a crash either both are there or neither. It must have
 * been asked for after the last answers came, since what those applied is in it and leaves the outbox. A reset forgets
 * everything but what was not sent, and the orders that it belongs to.
 */
export function saveState(database: Database, state: DeviceState, now: number, offsetMs: number): Promise<void> {
  return inOne(database, shelves, async (writing) => {
    const doer: Doer = state.me;
    await clearApplied(writing);
    if (state.reset) await forget(writing, state);
    for (const whole of state.doors) await writing.objectStore('doors').put({ id: whole.door.id, whole });
    for (const manual of state.manuals) {
      await (manual.archived ? writing.objectStore('manuals').delete(manual.id) : writing.objectStore('manuals').put(manual));
    }
    for (const id of state.gone) await release(writing, id);
    for (const order of state.orders) await putOrder(writing, order, doer);
    const meta = writing.objectStore('meta');
    if (state.reset || state.instruments.length > 0) await meta.put(state.instruments, 'instruments');
    await meta.put(state.stockParts, 'stockParts');
    if (state.reset || state.deviceChecks.length > 0) await meta.put(state.deviceChecks, 'deviceChecks');
    await meta.put(state.cursor, 'cursor');
    await meta.put(now, 'lastSyncAt');
    await meta.put(offsetMs, 'offsetMs');
  });
}

async function putOrder(writing: Writing, server: WholeWorkOrder, doer: Doer): Promise<void> {
  const door = await writing.objectStore('doors').get(server.doorId);
  const local = await replayed(writing, server, door?.whole, doer);
  await writing.objectStore('orders').put({ id: server.id, server, local, gone: false });
}

async function clearApplied(writing: Writing): Promise<void> {
  const outbox = writing.objectStore('outbox');
  for (const standing of ['applied', 'contested'] as const) {
    for (const entry of await outbox.index('byStanding').getAll(standing)) await outbox.delete(entry.seq!);
  }
}

async function forget(writing: Writing, state: DeviceState): Promise<void> {
  const staying = new Set(state.orders.map(({ id }) => id));
  for (const id of await writing.objectStore('orders').getAllKeys()) if (!staying.has(id)) await release(writing, id);
  const held = new Set((await writing.objectStore('orders').getAll()).map(({ server }) => server.doorId));
  for (const id of await writing.objectStore('doors').getAllKeys()) if (!held.has(id)) await writing.objectStore('doors').delete(id);
  await writing.objectStore('manuals').clear();
}

/** Lets an order go with its sent images, unless something done at it has not found its place. */
async function release(writing: Writing, id: string): Promise<void> {
  const kept = await writing.objectStore('orders').get(id);
  if (!kept) return;
  const entries = await writing.objectStore('outbox').index('byOrder').getAll(id);
  if (entries.some(({ standing }) => holding.includes(standing))) {
    await writing.objectStore('orders').put({ ...kept, gone: true });
    return;
  }
  await writing.objectStore('orders').delete(id);
  for (const image of await writing.objectStore('images').index('byOrder').getAll(id)) {
    if (image.sent) await writing.objectStore('images').delete(image.id);
  }
}
