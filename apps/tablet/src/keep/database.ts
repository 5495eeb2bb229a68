import type { DeviceDoor, DeviceState, Manual, TechnicianCommand, WholeWorkOrder } from '@lintel/contract';
import { deleteDB, openDB, type DBSchema, type IDBPDatabase } from 'idb';

/** `waiting`: not answered by the server yet. `applied`: done there, but not yet in the state that came back. */
export type Standing = 'waiting' | 'applied' | 'contested' | 'refused' | 'settled';

/** Why a command could not be done: the server's word, or this device's where the server could not even read it. */
export interface Refused {
  code: string;
  facts: Record<string, unknown>;
}

/** A command as it waits on the device; `seq` is the order in which they were made and are sent. */
export interface OutboxEntry {
  seq?: number;
  id: string;
  orderId: string;
  /** Whose work it is, for a list that outlives the order: door and title. */
  about: string;
  command: TechnicianCommand;
  madeAt: string;
  standing: Standing;
  refusal?: Refused;
}

export interface KeptOrder {
  id: string;
  /** As the server last gave it. */
  server: WholeWorkOrder;
  /** With the effects of what was done here since: what the pages show. */
  local: WholeWorkOrder;
  /** No longer this technician's, kept for what is unsent. */
  gone: boolean;
}

export interface KeptImage {
  id: string;
  orderId: string;
  stepId: string | null;
  kind: 'photo' | 'signature';
  mediaType: 'image/jpeg' | 'image/png';
  width: number;
  height: number;
  blob: Blob;
  takenAt: string;
  sent: boolean;
}

/** What is half entered at a step, so that a flat battery takes nothing. */
export interface Draft {
  key: string;
  value: unknown;
}

export interface MetaValues {
  cursor: string;
  lastSyncAt: number;
  /** Server's clock less this device's, ms. */
  offsetMs: number;
  instruments: DeviceState['instruments'];
  deviceChecks: DeviceState['deviceChecks'];
  stockParts: DeviceState['stockParts'];
  device: string;
}

interface Shelves extends DBSchema {
  orders: { key: string; value: KeptOrder; indexes: { byDoor: string } };
  doors: { key: string; value: { id: string; whole: DeviceDoor } };
  manuals: { key: string; value: Manual; indexes: { byDoorType: string } };
  outbox: { key: number; value: OutboxEntry; indexes: { byId: string; byOrder: string; byStanding: string } };
  images: { key: string; value: KeptImage; indexes: { byOrder: string } };
  drafts: { key: string; value: Draft };
  meta: { key: string; value: unknown };
}

export type Database = IDBPDatabase<Shelves>;
export type ShelfName = 'orders' | 'doors' | 'manuals' | 'outbox' | 'images' | 'drafts' | 'meta';
export type { Shelves };

const nameOf = (accountId: string): string => `lintel-tablet-${accountId}`;

/** The database of one person on this device: two technicians who share it do not share what waits. */
export function openDatabase(accountId: string): Promise<Database> {
  return openDB<Shelves>(nameOf(accountId), 1, {
    upgrade(database) {
      database.createObjectStore('orders', { keyPath: 'id' }).createIndex('byDoor', 'server.doorId');
      database.createObjectStore('doors', { keyPath: 'id' });
      database.createObjectStore('manuals', { keyPath: 'id' }).createIndex('byDoorType', 'doorTypeId');
      const outbox = database.createObjectStore('outbox', { keyPath: 'seq', autoIncrement: true });
      outbox.createIndex('byId', 'id', { unique: true });
      outbox.createIndex('byOrder', 'orderId');
      outbox.createIndex('byStanding', 'standing');
      database.createObjectStore('images', { keyPath: 'id' }).createIndex('byOrder', 'orderId');
      database.createObjectStore('drafts', { keyPath: 'key' });
      database.createObjectStore('meta');
    },
    blocking(_current, _blocked, event) {
      // A newer version of the pages wants to open it in another tab: give way.
      (event.target as IDBDatabase).close();
    },
  });
}

/** Takes a person's data off the device; not while anything of it has not found its place on the server. */
export async function forgetIfSent(database: Database, accountId: string): Promise<boolean> {
  const held = (await database.count('outbox')) + (await database.count('drafts')) + (await database.getAll('images')).filter(({ sent }) => !sent).length;
  if (held > 0) return false;
  database.close();
  await deleteDB(nameOf(accountId));
  return true;
}

export async function readMeta<Name extends keyof MetaValues>(database: Database, name: Name): Promise<MetaValues[Name] | undefined> {
  return (await database.get('meta', name)) as MetaValues[Name] | undefined;
}

/** A write that must be on the disk, not in a buffer, before anybody is told so: a battery can end at any moment. */
export const onDisk = { durability: 'strict' } as const;
