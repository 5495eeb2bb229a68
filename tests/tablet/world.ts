import type { CommandAnswers, DeviceDoor, DeviceState, WholeWorkOrder } from '@lintel/contract';
import { defaultForceLimits, releaseSteps } from '@lintel/engine';
import 'fake-indexeddb/auto';
import { IDBFactory } from 'fake-indexeddb';
import { applyCommand, type Doer } from '../../apps/tablet/src/keep/applyCommand.js';
import { type Database, openDatabase } from '../../apps/tablet/src/keep/database.js';
import { saveState } from '../../apps/tablet/src/keep/saveState.js';
import { type Round, type Wire, WireError } from '../../apps/tablet/src/keep/sync.js';

export const me: Doer = { id: '019ad0a0-0000-7000-8000-00000000000a', name: 'Vera Lindqvist' };
export const colleague: Doer = { id: '019ad0a0-0000-7000-8000-00000000000b', name: 'Tomas Brandt' };
const id = (last: number): string => `019ad0a0-0000-7000-8000-${last.toString(16).padStart(12, '0')}`;
export const doorId = id(1);
export const orderId = id(2);
export const beam = id(3);

/** A device of its own, empty. */
export function newDevice(): Promise<Database> {
  globalThis.indexedDB = new IDBFactory();
  return openDatabase(me.id);
}

/** The same device after the pages were closed, or the battery ended. */
export async function reopened(database: Database): Promise<Database> {
  database.close();
  return openDatabase(me.id);
}

/** An inspection as the engine releases it: cautions, a function test, a measurement, a counter, a photograph. */
export function anOrder(change: Partial<WholeWorkOrder> = {}): WholeWorkOrder {
  const { steps, devices } = releaseSteps({
    kind: 'inspection',
    checklist: [
      { kind: 'confirm', text: 'Keep people out of the opening.', caution: true },
      { kind: 'test-device', text: 'Light beam', partKind: 'light-beam' },
      { kind: 'measure', text: 'Chain tension', unit: 'mm', lower: 5, upper: 15, resolution: 1 },
      { kind: 'photograph', text: 'The door, closed' },
      { kind: 'read-counter', text: 'Cycle counter' },
    ],
    opening: { widthMm: 3000, heightMm: 3500 },
    positions: [{ id: beam, kind: 'light-beam', name: 'Light beam', safetyDevice: true }],
    limits: defaultForceLimits,
  });
  return {
    id: orderId, number: 17, kind: 'inspection', state: 'released', origin: 'due', doorId, doorName: 'Gate 4', siteId: id(5), siteName: 'North store',
    timeZone: 'Europe/Oslo', ownerId: id(6), ownerName: 'Fjordkjøl', taskId: id(7), taskName: 'Inspection', title: 'Safety inspection', instructions: null,
    technicianId: me.id, technicianName: me.name, plannedOn: '2026-11-25', plannedStart: null, overdue: false, minutes: 60, skills: [], parts: [],
    passed: null, cancelReason: null, createdAt: '2026-11-20T08:00:00Z', createdById: null, createdByName: null, releasedAt: '2026-11-20T08:00:00Z',
    startedAt: null, completedAt: null, completedById: null, completedByName: null, reviewedAt: null, reviewedById: null, reviewedByName: null,
    cancelledAt: null, completionId: null, stepCount: steps.length, answeredCount: 0, conflictCount: 0, findingCount: 0, version: 1,
    steps, devices, answers: [], conflicts: [], findings: [], retests: [], puts: [], images: [], signatures: [], times: [], usedParts: [], keptWork: [],
    ...change,
  };
}

/** The few fields of a door that the keeping of orders looks at. */
export function aDoor(change: Partial<DeviceDoor> = {}): DeviceDoor {
  return {
    door: { id: doorId, name: 'Gate 4', serial: 'G-0004', siteName: 'North store', state: 'in-service' },
    site: { id: id(5), name: 'North store', address: 'Kaiveien 1', units: 'metric', timeZone: 'Europe/Oslo' },
    doorType: { id: id(8), name: 'Freezer 3 m', minCycleSeconds: 6 },
    positions: [], parts: [], counters: [], history: [], findings: [], ...change,
  } as unknown as DeviceDoor;
}

export function aState(change: Partial<DeviceState> = {}): DeviceState {
  return {
    cursor: '1', serverTime: '2026-11-25T08:00:00.000Z', reset: true, orders: [anOrder()], gone: [], doors: [aDoor()], manuals: [], instruments: [], stockParts: [{ id: '01900000-0000-7000-8000-0000000000aa', code: 'CH-12', kind: 'drive-chain', name: 'Chain set' }],
    deviceChecks: [], me: { ...me, role: 'technician' }, ...change,
  };
}

export async function received(database: Database, state = aState()): Promise<void> {
  await saveState(database, state, Date.parse(state.serverTime), 0);
}

/**
 * A server in miniature: stores every command by its id with its answer, applies it once by the engine's rules, and hands the
 * order out again. What goes wrong on the way is set by the test.
 */
export class Server implements Wire {
  order: WholeWorkOrder;
  readonly seen: string[] = [];
  readonly images: string[] = [];
  readonly answers = new Map<string, CommandAnswers['answers'][number]>();
  applied = 0;
  cursor = 1;
  /** Runs before the request that has this number, from 1; throws to cut the line. */
  before: (request: string) => void = () => undefined;
  /** Runs after the server has done it, before the answer arrives. */
  after: (request: string) => void = () => undefined;
  unreadable = new Set<string>();

  constructor(order = anOrder()) {
    this.order = order;
  }

  async uploadImage({ id: imageId }: { id: string }): Promise<void> {
    this.before('image');
    this.images.push(imageId);
    this.after('image');
  }

  async sendCommands({ commands }: Parameters<Wire['sendCommands']>[0]): Promise<CommandAnswers> {
    this.before('commands');
    if (commands.some((one) => this.unreadable.has(one.id))) throw new WireError(400, 'command: is not valid');
    const answers = commands.map((made) => {
      this.seen.push(made.id);
      const known = this.answers.get(made.id);
      if (known) return { ...known, repeated: true };
      const after = applyCommand(this.order, made as Parameters<typeof applyCommand>[1], me, []);
      const refused = 'refused' in after;
      if (!refused) {
        this.order = { ...after, version: this.order.version + 1 };
        this.applied += 1;
        this.cursor += 1;
      }
      const answer = {
        id: made.id, outcome: refused ? ('refused' as const) : ('applied' as const), repeated: false,
        refusal: refused ? { code: after.refused, facts: { ...after.facts } } : null, orderVersion: this.order.version,
      };
      this.answers.set(made.id, answer);
      return answer;
    });
    this.after('commands');
    return { serverTime: '2026-11-25T09:00:00.000Z', answers };
  }

  async readState(since: string | undefined): Promise<DeviceState> {
    this.before('state');
    const state = aState({ reset: since === undefined, cursor: String(this.cursor), orders: since === String(this.cursor) ? [] : [this.order] });
    this.after('state');
    return state;
  }
}

export function roundWith(database: Database, wire: Wire): Round {
  return { database, wire, doer: me, now: () => Date.parse('2026-11-25T09:00:00Z') };
}

/** The line is cut. */
export function cut(): never {
  throw new WireError(0, 'The server cannot be reached.');
}

/** A random picture of no meaning. */
export function anImage(imageId: string) {
  return {
    id: imageId, orderId, stepId: null, kind: 'photo' as const, mediaType: 'image/jpeg' as const, width: 4, height: 3,
    blob: new Blob([new Uint8Array([0xff, 0xd8, 0xff, 1, 2, 3])], { type: 'image/jpeg' }), takenAt: '2026-11-25T08:30:00.000Z', sent: false,
  };
}
