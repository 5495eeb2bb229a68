import type { DeviceDoor, DeviceState, DeviceStockPart, Manual, WholeWorkOrder } from '@lintel/contract';
import { type Database, type KeptImage, type OutboxEntry, readMeta } from './database.js';
import { openUnsafeOf } from './outbox.js';

/** An order with what a page needs around it. */
export interface OrderView {
  order: WholeWorkOrder;
  /** No longer this technician's; what was done at it is still here. */
  gone: boolean;
  door: DeviceDoor | null;
  manuals: readonly Manual[];
  images: readonly KeptImage[];
  /** Ids of commands that the server has not answered. */
  unsent: ReadonlySet<string>;
  refused: readonly OutboxEntry[];
  openUnsafe: readonly string[];
  instruments: DeviceState['instruments'];
  deviceChecks: DeviceState['deviceChecks'];
}

export async function readOrder(database: Database, id: string): Promise<OrderView | null> {
  const kept = await database.get('orders', id);
  if (!kept) return null;
  const order = kept.local;
  const [door, entries, images, instruments, deviceChecks] = await Promise.all([
    database.get('doors', order.doorId),
    database.getAllFromIndex('outbox', 'byOrder', id),
    database.getAllFromIndex('images', 'byOrder', id),
    readMeta(database, 'instruments'),
    readMeta(database, 'deviceChecks'),
  ]);
  const whole = door?.whole ?? null;
  return {
    order,
    gone: kept.gone,
    door: whole,
    manuals: whole ? await database.getAllFromIndex('manuals', 'byDoorType', whole.doorType.id) : [],
    images,
    unsent: new Set(entries.filter(({ standing }) => standing === 'waiting').map((entry) => entry.id)),
    refused: entries.filter(({ standing }) => standing === 'refused'),
    openUnsafe: openUnsafeOf(door?.whole, order),
    instruments: instruments ?? [],
    deviceChecks: deviceChecks ?? [],
  };
}

export interface DoorView {
  whole: DeviceDoor;
  orders: readonly WholeWorkOrder[];
  manuals: readonly Manual[];
  /** What the door is as far as this device knows: found unsafe here, it is out of service before the server says so. */
  state: string;
}

export async function readDoor(database: Database, id: string): Promise<DoorView | null> {
  const found = await database.get('doors', id);
  if (!found) return null;
  const { whole } = found;
  const [kept, manuals] = await Promise.all([
    database.getAllFromIndex('orders', 'byDoor', id),
    database.getAllFromIndex('manuals', 'byDoorType', whole.doorType.id),
  ]);
  const orders = kept.map(({ local }) => local);
  const foundUnsafe = orders.some((order) => order.findings.some(({ severity, open }) => severity === 'unsafe' && open));
  return { whole, orders, manuals, state: foundUnsafe && whole.door.state === 'in-service' ? 'out-of-service' : whole.door.state };
}

export interface SiteVisits {
  siteId: string;
  siteName: string;
  timeZone: string;
  address: string | null;
  orders: WholeWorkOrder[];
}

export interface Visits {
  /** With what is late, and what has been begun. */
  today: SiteVisits[];
  days: { date: string; sites: SiteVisits[] }[];
  undated: SiteVisits[];
  done: SiteVisits[];
}

/** The date at a place, `YYYY-MM-DD`. */
export function dateAt(timeZone: string, now: number): string {
  return new Intl.DateTimeFormat('en-CA', { timeZone, year: 'numeric', month: '2-digit', day: '2-digit' }).format(now);
}

const closed = (order: WholeWorkOrder): boolean => ['completed', 'reviewed', 'cancelled'].includes(order.state);

/** Orders grouped into visits: by day at the site, then by site. What is late or under way belongs to today. */
export async function readVisits(database: Database, now: number): Promise<Visits> {
  const [orders, doors] = await Promise.all([database.getAll('orders'), database.getAll('doors')]);
  const addresses = new Map(doors.map(({ whole }) => [whole.site.id, whole.site.address]));
  const open = orders.filter(({ gone }) => !gone).map(({ local }) => local).filter(({ state }) => state !== 'planned');
  const groups = new Map<string, WholeWorkOrder[]>();
  for (const order of open) {
    const today = dateAt(order.timeZone, now);
    const day = closed(order) ? 'done' : order.state === 'started' || (order.plannedOn !== null && order.plannedOn <= today) ? 'today' : (order.plannedOn ?? 'undated');
    groups.set(day, [...(groups.get(day) ?? []), order]);
  }
  const sites = (day: string): SiteVisits[] => bySite(groups.get(day) ?? [], addresses);
  const dates = [...groups.keys()].filter((day) => /^\d/.test(day)).sort();
  return { today: sites('today'), days: dates.map((date) => ({ date, sites: sites(date) })), undated: sites('undated'), done: sites('done') };
}

function bySite(orders: readonly WholeWorkOrder[], addresses: ReadonlyMap<string, string | null>): SiteVisits[] {
  const sites = new Map<string, SiteVisits>();
  for (const order of orders.toSorted(inOrder)) {
    const { siteId, siteName, timeZone } = order;
    const site = sites.get(siteId) ?? { siteId, siteName, timeZone, address: addresses.get(siteId) ?? null, orders: [] };
    site.orders.push(order);
    sites.set(siteId, site);
  }
  return [...sites.values()];
}

/** By the hour planned, then by door; what has none comes last. */
function inOrder(a: WholeWorkOrder, b: WholeWorkOrder): number {
  return (a.plannedStart ?? '~').localeCompare(b.plannedStart ?? '~') || a.doorName.localeCompare(b.doorName) || a.number - b.number;
}

export interface Needs {
  refused: OutboxEntry[];
  settled: OutboxEntry[];
  contested: { order: WholeWorkOrder; stepText: string; answerId: string }[];
}

/** What a person has to look at: refused work, and answers that contradict each other. */
export async function readNeeds(database: Database): Promise<Needs> {
  const [refused, settled, orders] = await Promise.all([
    database.getAllFromIndex('outbox', 'byStanding', 'refused'),
    database.getAllFromIndex('outbox', 'byStanding', 'settled'),
    database.getAll('orders'),
  ]);
  const contested = orders.flatMap(({ local }) => local.conflicts.map(({ stepId, contestedId }) => ({
    order: local, stepText: local.steps.find(({ id }) => id === stepId)?.text ?? stepId, answerId: contestedId,
  })));
  return { refused, settled, contested };
}

export async function readStock(database: Database): Promise<DeviceStockPart[]> {
  return (await readMeta(database, 'stockParts')) ?? [];
}

/** A door or a part by what its label says. */
export interface Found {
  doors: { id: string; name: string; siteName: string; serial: string | null }[];
  parts: { id: string; name: string; serial: string; doorId: string; doorName: string }[];
  /** Parts that the company keeps, by the code on them. */
  stock: DeviceStockPart[];
}

/** What a scanned label of a door holds, or null. */
export function doorOfLabel(code: string): string | null {
  return /\/tablet\/door\/([0-9a-f-]{36})(?:[/?#]|$)/i.exec(code)?.[1]?.toLowerCase() ?? null;
}

export async function findByCode(database: Database, code: string): Promise<Found> {
  const word = code.trim().toLowerCase();
  if (word === '') return { doors: [], parts: [], stock: [] };
  const labelled = doorOfLabel(code);
  const all = (await database.getAll('doors')).map(({ whole }) => whole);
  const doors = all.filter(({ door, site }) => labelled === null
    ? [door.name, door.serial ?? '', `${site.name} ${door.name}`].some((one) => one.toLowerCase().includes(word)) || door.id === word
    : door.id === labelled);
  const parts = labelled !== null ? [] : all.flatMap(({ door, parts: fitted }) => fitted
    .filter(({ serial }) => serial?.toLowerCase().includes(word))
    .map(({ id, positionName, serial }) => ({ id, name: positionName, serial: serial ?? '', doorId: door.id, doorName: `${door.siteName}, ${door.name}` })));
  const stock = labelled !== null ? [] : (await readStock(database)).filter((one) => one.code.toLowerCase().includes(word) || one.name.toLowerCase().includes(word));
  return { stock, doors: doors.map(({ door }) => ({ id: door.id, name: door.name, siteName: door.siteName, serial: door.serial })), parts };
}
