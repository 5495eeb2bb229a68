import type { CommandAnswer, DeviceDoor, TechnicianCommand, WholeWorkOrder } from '@lintel/contract';
import type { WorkRefusal } from '@lintel/engine';
import { applyCommand, type Doer } from './applyCommand.js';
import type { Database, KeptImage, OutboxEntry, Refused, Standing } from './database.js';
import { inOne, type Writing } from './inOne.js';
import { newId } from './newId.js';

/** What the server holds of an order plus what still belongs on top of it: not answered, or answered after the state was asked. */
const onTop: readonly Standing[] = ['waiting', 'applied', 'contested'];

export interface ToRecord {
  orderId: string;
  command: TechnicianCommand;
  /** Kept in the same transaction as the command that names it. */
  image?: KeptImage;
  /** The draft that this command brings to an end. */
  draft?: string;
}

/**
 * Keeps a command and its effect in one transaction, on the disk; only then it may be shown as done. Refused by the rules:
 * nothing is kept, and the refusal is answered.
 * @throws StorageFull
 */
export function record(database: Database, doer: Doer, given: ToRecord, now = Date.now()): Promise<{ id: string } | WorkRefusal> {
  return inOne(database, ['orders', 'doors', 'outbox', 'images', 'drafts'], async (writing) => {
    const kept = await writing.objectStore('orders').get(given.orderId);
    if (!kept) throw new Error('This order is no longer on this device.');
    const made = { id: newId(now), command: withBase(given.command, kept.local), madeAt: new Date(now).toISOString() };
    // Only a completion is judged by the door as well; it is the largest thing kept here, and reading it takes a frame.
    const door = made.command.command === 'complete' ? await writing.objectStore('doors').get(kept.local.doorId) : undefined;
    const local = applyCommand(kept.local, made, doer, openUnsafeOf(door?.whole, kept.local));
    if ('refused' in local) return local;
    const about = `${kept.local.doorName}: ${kept.local.title}`;
    // Asked for at once and waited for together: every answer waited for is another turn of the page's thread. Each in a
    // function of its own, so that one that throws at once still leaves all of them waited for.
    const writes: (() => Promise<unknown>)[] = [
      () => writing.objectStore('orders').put({ ...kept, local }),
      () => writing.objectStore('outbox').add({ ...made, orderId: given.orderId, about, standing: 'waiting' }),
    ];
    const { image, draft } = given;
    if (image) writes.push(() => writing.objectStore('images').put(image));
    if (draft !== undefined) writes.push(() => writing.objectStore('drafts').delete(draft));
    await Promise.all(writes.map(async (write) => write()));
    return { id: made.id };
  });
}

/** An answer says which one it stands on: that is how two people who answered the same step without a signal are told apart. */
function withBase(command: TechnicianCommand, order: WholeWorkOrder): TechnicianCommand {
  if (command.command !== 'answer' || command.baseId !== undefined) return command;
  const base = order.answers.findLast(({ stepId, counts }) => counts && stepId === command.stepId);
  return { ...command, baseId: base?.id ?? null };
}

/** Unsafe findings open on a door, those of this order included. */
export function openUnsafeOf(door: DeviceDoor | undefined, order: WholeWorkOrder): string[] {
  const all = [...(door?.findings ?? []), ...order.findings].filter(({ severity, open }) => severity === 'unsafe' && open);
  return [...new Set(all.map(({ id }) => id))];
}

/** The order as the pages show it: the server's, with the commands of this device on top of it, in their order. */
export async function replayed(
  writing: Writing,
  server: WholeWorkOrder,
  door: DeviceDoor | undefined,
  doer: Doer,
): Promise<WholeWorkOrder> {
  const entries = await writing.objectStore('outbox').index('byOrder').getAll(server.id);
  return entries
    .filter(({ standing }) => onTop.includes(standing))
    .sort((a, b) => a.seq! - b.seq!)
    .reduce((order, entry) => {
      const after = applyCommand(order, entry, doer, openUnsafeOf(door, order));
      // What the rules refuse now is the server's to refuse; until then it waits, only without its effect.
      return 'refused' in after ? order : after;
    }, server);
}

/** The next commands to send, oldest first. */
export async function waiting(database: Database, most: number): Promise<OutboxEntry[]> {
  const entries = await database.getAllFromIndex('outbox', 'byStanding', 'waiting');
  return entries.sort((a, b) => a.seq! - b.seq!).slice(0, most);
}

/** Notes what the server answered, and takes the effect of what it refused out of what the pages show, in one transaction. */
export function saveAnswers(database: Database, doer: Doer, answers: readonly Pick<CommandAnswer, 'id' | 'outcome' | 'refusal'>[]): Promise<void> {
  return inOne(database, ['orders', 'doors', 'outbox'], async (writing) => {
    const outbox = writing.objectStore('outbox');
    const touched = new Set<string>();
    for (const { id, outcome, refusal } of answers) {
      const entry = await outbox.index('byId').get(id);
      if (entry?.standing !== 'waiting') continue;
      await outbox.put({ ...entry, standing: outcome, ...(refusal !== null && { refusal: refusal as Refused }) });
      if (outcome === 'refused') touched.add(entry.orderId);
    }
    for (const orderId of touched) {
      const kept = await writing.objectStore('orders').get(orderId);
      if (!kept) continue;
      const door = await writing.objectStore('doors').get(kept.server.doorId);
      await writing.objectStore('orders').put({ ...kept, local: await replayed(writing, kept.server, door?.whole, doer) });
    }
  });
}

/** A person has dealt with a refused command: it leaves the list, not the device. */
export function settle(database: Database, seq: number): Promise<void> {
  return inOne(database, ['outbox'], async (writing) => {
    const entry = await writing.objectStore('outbox').get(seq);
    if (entry?.standing === 'refused') await writing.objectStore('outbox').put({ ...entry, standing: 'settled' });
  });
}
