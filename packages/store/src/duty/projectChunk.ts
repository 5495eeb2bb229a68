import { dutyNodes, parseCivilDate } from '@lintel/engine';
import type pg from 'pg';
import { addDueItem, dueBatch, dueItemsOf } from '../upkeep/projectUpkeep.js';
import { addPart, outlookOf, partBatch } from '../wear/projectWear.js';
import { addDuty, dutyBatch, dutyOf, historyOf, writeVerdicts } from './projectDuty.js';
import type { DoorHistory, VerdictRow } from './projectDuty.js';
import { addOutlook, forgetOutlooks, outlookBatch, outlookRowOf } from './projectOutlook.js';
import { Peers } from './projectPeers.js';
import type { PeerEvidence, PeerGroups } from './projectPeers.js';
import type { LoadedDoor } from './projectTypes.js';

export interface ProjectionFailure {
  doorId: string;
  reason: string;
}

/** What is to be written of a chunk of doors. */
export interface ComputedChunk {
  /** Doors that were computed. */
  doorIds: string[];
  verdicts: VerdictRow[];
  duty: ReturnType<typeof dutyBatch>;
  parts: ReturnType<typeof partBatch>;
  items: ReturnType<typeof dueBatch>;
  outlooks: ReturnType<typeof outlookBatch>;
  decommissioned: string[];
  failed: ProjectionFailure[];
}

/** A chunk is computed in turns of this length, so that timers and other requests of the process go on. */
const TURN_MS = 20;

/** First the histories of all doors, for they are each other's peers; then everything else. */
export async function computeChunk(doors: readonly LoadedDoor[], last: PeerGroups, now: Date): Promise<ComputedChunk> {
  const chunk: ComputedChunk = {
    doorIds: [],
    verdicts: [],
    duty: dutyBatch(),
    parts: partBatch(),
    items: dueBatch(),
    outlooks: outlookBatch(),
    decommissioned: [],
    failed: [],
  };
  const histories = new Map<LoadedDoor, DoorHistory>();
  const fresh: PeerEvidence[] = [];
  await inTurns(doors, chunk.failed, (door) => {
    if (door.decommissioned) {
      chunk.decommissioned.push(door.id);
      return;
    }
    const history = historyOf(door, now);
    histories.set(door, history);
    fresh.push({ doorId: door.id, siteId: door.siteId, doorTypeId: door.doorTypeId, ...history.observed });
  });
  const peers = new Peers(last, fresh);
  const projectedAt = now.toISOString();
  await inTurns([...histories.keys()], chunk.failed, (door) => computeDoor(door, histories.get(door)!, peers, now, projectedAt, chunk));
  return chunk;
}

/** Nothing of a door is added to the chunk before all of it is computed. */
function computeDoor(door: LoadedDoor, found: DoorHistory, peers: Peers, now: Date, projectedAt: string, chunk: ComputedChunk): void {
  const { id: doorId, siteId, doorTypeId, timeZone } = door;
  const { history } = found;
  const duty = dutyOf(history, peers.priorOf({ doorId, siteId, doorTypeId }), now);
  const firstDayMs = parseCivilDate(door.installedOn, 'installedOn').getTime();
  const state = { doorId, timeZone, firstDayMs, history, duty, nodes: dutyNodes(duty) };
  const parts = door.parts.map((part) => outlookOf(part, state)).filter((part) => part !== null);
  const items = dueItemsOf(door, state, now);
  const outlook = outlookRowOf(doorId, parts, items);
  chunk.doorIds.push(doorId);
  chunk.verdicts.push(...found.verdicts);
  addDuty(chunk.duty, doorId, duty, found, projectedAt);
  for (const part of parts) addPart(chunk.parts, part, projectedAt);
  for (const item of items) addDueItem(chunk.items, item, projectedAt);
  addOutlook(chunk.outlooks, outlook, projectedAt);
}

/** Runs over doors, letting others have a turn in between; a door that throws is noted. */
async function inTurns(doors: readonly LoadedDoor[], failed: ProjectionFailure[], work: (door: LoadedDoor) => void): Promise<void> {
  let since = performance.now();
  for (const door of doors) {
    try {
      work(door);
    } catch (error) {
      failed.push({ doorId: door.id, reason: error instanceof Error ? error.message : String(error) });
    }
    if (performance.now() - since > TURN_MS) {
      await new Promise(setImmediate);
      since = performance.now();
    }
  }
}

/** All writing of one chunk, in its transaction. */
export async function writeChunk(client: pg.ClientBase, companyId: string, chunk: ComputedChunk): Promise<void> {
  await forgetOutlooks(client, companyId, chunk.decommissioned);
  const { doorIds } = chunk;
  if (doorIds.length === 0) return;
  await chunk.duty.replace(client, companyId, doorIds);
  await writeVerdicts(client, companyId, doorIds, chunk.verdicts);
  await chunk.parts.replace(client, companyId, doorIds);
  await chunk.items.replace(client, companyId, doorIds);
  await chunk.outlooks.replace(client, companyId, doorIds);
}
