import type { CommandAnswers, DeviceCommands, DeviceState } from '@lintel/contract';
import { imagesOf, type Doer } from './applyCommand.js';
import { type Database, type KeptImage, type OutboxEntry, readMeta } from './database.js';
import { keepImage } from './images.js';
import { saveAnswers, waiting } from './outbox.js';
import { saveState } from './saveState.js';

/** The way to the server, as far as synchronising needs it. Each throws `WireError`. */
export interface Wire {
  uploadImage(image: KeptImage): Promise<void>;
  sendCommands(batch: DeviceCommands): Promise<CommandAnswers>;
  readState(since: string | undefined): Promise<DeviceState>;
}

/** A refusal of the server, or of the network (status 0). */
export class WireError extends Error {
  constructor(
    readonly status: number,
    message: string,
  ) {
    super(message);
    this.name = 'WireError';
  }

  /** This very request cannot succeed, however often it is sent. */
  get hopeless(): boolean {
    return [400, 409, 413, 415, 422].includes(this.status);
  }
}

export interface Round {
  database: Database;
  wire: Wire;
  doer: Doer;
  now: () => number;
}

const mostAtOnce = 100;

/**
 * One round: images, then the commands that name them, in the order in which they were made, then the state. Run by one tab at
 * a time. Cut off anywhere, the next round goes on: a command sent twice is answered from what the server stored.
 * @throws WireError where the server cannot be reached or wants a sign-in; what was done until then stays done.
 */
export async function syncRound(round: Round): Promise<void> {
  await sendWaiting(round);
  const asked = round.now();
  const state = await round.wire.readState(await readMeta(round.database, 'cursor'));
  const arrived = round.now();
  const offsetMs = Math.round(Date.parse(state.serverTime) - (asked + arrived) / 2);
  await saveState(round.database, state, arrived, offsetMs);
}

async function sendWaiting(round: Round): Promise<void> {
  const { database, wire, doer } = round;
  const device = (await readMeta(database, 'device')) ?? 'tablet';
  let most = mostAtOnce;
  for (;;) {
    const next = await waiting(database, most);
    const batch = await withImages(round, next);
    if (batch.length === 0) {
      // Commands whose images were refused have left the queue; others may stand behind them.
      if (next.length === 0) return;
      continue;
    }
    try {
      const commands = batch.map(({ id, madeAt, orderId, command }) => ({ id, madeAt, orderId, command }));
      const { answers } = await wire.sendCommands({ device, commands });
      await saveAnswers(database, doer, answers);
      // Without an answer to any of them this would go round for ever.
      if (!answers.some(({ id }) => id === batch[0]!.id)) throw new WireError(502, 'The server did not answer what was sent.');
      most = mostAtOnce;
    } catch (error) {
      if (!(error instanceof WireError && error.hopeless)) throw error;
      // Which one of them the server cannot read shows when they go one by one; that one must not hold up the others.
      if (batch.length > 1) most = Math.ceil(batch.length / 2);
      else await refuseHere(round, batch, 'not-accepted', error);
    }
  }
}

/** Sends the images that the commands name; answers the commands that may follow: up to the first whose image was refused. */
async function withImages(round: Round, entries: readonly OutboxEntry[]): Promise<OutboxEntry[]> {
  const ready: OutboxEntry[] = [];
  for (const entry of entries) {
    try {
      for (const id of imagesOf(entry.command)) await sendImage(round, id);
      ready.push(entry);
    } catch (error) {
      // An image may belong to an order that is another's by now: that must not hold up the rest.
      const hopeless = error instanceof WireError && (error.hopeless || error.status === 403 || error.status === 404);
      if (!hopeless) throw error;
      await refuseHere(round, [entry], 'image-not-accepted', error);
      return ready;
    }
  }
  return ready;
}

async function sendImage({ database, wire }: Round, id: string): Promise<void> {
  const image = await database.get('images', id);
  if (!image || image.sent) return;
  await wire.uploadImage(image);
  await keepImage(database, { ...image, sent: true });
}

function refuseHere({ database, doer }: Round, entries: readonly OutboxEntry[], code: string, error: WireError): Promise<void> {
  const refusal = { code, facts: { detail: error.message } };
  return saveAnswers(database, doer, entries.map(({ id }) => ({ id, outcome: 'refused' as const, refusal })));
}
