import type pg from 'pg';
import { newId, type CompanyContext } from '../context.js';
import { insertParts, loadPositions, type PartRow } from './importPartRows.js';

export interface KnownSite {
  id: string;
  name: string;
  ownerName: string;
  timeZone: string;
  /** Zone ids by name in lower case. */
  zones: Map<string, string>;
}

export interface KnownType {
  id: string;
  widthMm: number;
  heightMm: number;
}

/** A door as the file can change it. */
export interface DoorRow {
  id: string;
  siteId: string;
  doorTypeId: string;
  name: string;
  serial: string | null;
  fromZoneId: string | null;
  toZoneId: string | null;
  widthMm: number;
  heightMm: number;
  /** `YYYY-MM-DD`. */
  installedOn: string;
  maker: string | null;
  installer: string | null;
  notes: string | null;
  /** The first counter of a door that is new; null for a known one. */
  counter: { fittedAt: string; modulus: number | null; startCycles: number } | null;
}

/** What a line of doors is held against; names in lower case. */
export interface Fleet {
  /** Sites by name: several owners may have one of the same name. */
  sites: Map<string, KnownSite[]>;
  types: Map<string, KnownType>;
  /** Doors by site id and name. */
  doors: Map<string, DoorRow>;
  /** Door ids by serial. */
  serials: Map<string, string>;
}

export async function loadFleet(client: pg.ClientBase): Promise<Fleet> {
  const sites = await client.query<Omit<KnownSite, 'zones'> & { zones: Record<string, string> }>(
    `SELECT s.id, s.name, o.name AS "ownerName", s.time_zone AS "timeZone",
       coalesce((SELECT json_object_agg(lower(z.name), z.id) FROM zone z
         WHERE z.company_id = s.company_id AND z.site_id = s.id AND z.archived_at IS NULL), '{}') AS zones
     FROM site s JOIN owner o ON o.company_id = s.company_id AND o.id = s.owner_id WHERE s.archived_at IS NULL`,
  );
  const types = await client.query<KnownType & { name: string }>(
    'SELECT id, name, width_mm AS "widthMm", height_mm AS "heightMm" FROM door_type WHERE archived_at IS NULL',
  );
  const doors = await client.query<Omit<DoorRow, 'counter'>>(
    `SELECT id, site_id AS "siteId", door_type_id AS "doorTypeId", name, serial, from_zone_id AS "fromZoneId",
       to_zone_id AS "toZoneId", width_mm AS "widthMm", height_mm AS "heightMm", installed_on::text AS "installedOn", maker, installer, notes
     FROM door`,
  );
  const fleet: Fleet = { sites: new Map(), types: new Map(), doors: new Map(), serials: new Map() };
  for (const site of sites.rows) {
    const key = site.name.toLowerCase();
    fleet.sites.set(key, [...(fleet.sites.get(key) ?? []), { ...site, zones: new Map(Object.entries(site.zones)) }]);
  }
  for (const { name, ...type } of types.rows) fleet.types.set(name.toLowerCase(), type);
  for (const row of doors.rows) {
    fleet.doors.set(`${row.siteId}\u0000${row.name.toLowerCase()}`, { ...row, counter: null });
    if (row.serial !== null) fleet.serials.set(row.serial.toLowerCase(), row.id);
  }
  return fleet;
}

export async function insertDoors(client: pg.ClientBase, context: CompanyContext, doors: readonly DoorRow[]): Promise<void> {
  if (doors.length === 0) return;
  await client.query(
    `INSERT INTO door (company_id, id, site_id, door_type_id, name, serial, from_zone_id, to_zone_id, width_mm, height_mm,
       installed_on, maker, installer, notes)
     SELECT $1::uuid, d.* FROM unnest($2::uuid[], $3::uuid[], $4::uuid[], $5::text[], $6::text[], $7::uuid[], $8::uuid[],
       $9::int[], $10::int[], $11::date[], $12::text[], $13::text[], $14::text[]) AS d`,
    [context.companyId, ...columnsOf(doors)],
  );
  await insertCounters(client, context, doors);
  await fitFirstParts(client, context, doors);
}

async function insertCounters(client: pg.ClientBase, context: CompanyContext, doors: readonly DoorRow[]): Promise<void> {
  const counters = doors.map((door) => door.counter!);
  await client.query(
    `INSERT INTO counter (company_id, id, door_id, fitted_at, modulus, start_cycles, start_value)
     SELECT $1::uuid, c.id, c.door_id, c.fitted_at, c.modulus, c.start_cycles, 0
     FROM unnest($2::uuid[], $3::uuid[], $4::timestamptz[], $5::bigint[], $6::bigint[])
       AS c(id, door_id, fitted_at, modulus, start_cycles)`,
    [
      context.companyId,
      doors.map(() => newId()),
      doors.map((door) => door.id),
      counters.map((counter) => counter.fittedAt),
      counters.map((counter) => counter.modulus),
      counters.map((counter) => counter.startCycles),
    ],
  );
}

/** A part in each position from the first day, as for a door that is entered by hand; the file of parts puts them right. */
async function fitFirstParts(client: pg.ClientBase, context: CompanyContext, doors: readonly DoorRow[]): Promise<void> {
  const positions = await loadPositions(client);
  const parts = doors.flatMap((door) =>
    (positions.get(door.doorTypeId) ?? []).map((position): PartRow => ({
      id: newId(), doorId: door.id, positionId: position.id, fittedAt: Date.parse(door.counter!.fittedAt), serial: null,
      fittedCycles: door.counter!.startCycles, ageAtFitting: 0, removedAt: null, removedCycles: null, removalReason: null,
      note: null, presumed: true,
    })),
  );
  await insertParts(client, context, parts);
}

export async function updateDoors(client: pg.ClientBase, context: CompanyContext, doors: readonly DoorRow[]): Promise<void> {
  if (doors.length === 0) return;
  await client.query(
    `UPDATE door SET name = d.name, serial = d.serial, from_zone_id = d.from_zone_id, to_zone_id = d.to_zone_id,
       width_mm = d.width_mm, height_mm = d.height_mm, installed_on = d.installed_on, maker = d.maker,
       installer = d.installer, notes = d.notes, version = door.version + 1
     FROM unnest($2::uuid[], $3::uuid[], $4::uuid[], $5::text[], $6::text[], $7::uuid[], $8::uuid[], $9::int[], $10::int[],
       $11::date[], $12::text[], $13::text[], $14::text[]) AS d(id, site_id, door_type_id, name, serial, from_zone_id, to_zone_id, width_mm, height_mm,
       installed_on, maker, installer, notes)
     WHERE door.company_id = $1::uuid AND door.id = d.id`,
    [context.companyId, ...columnsOf(doors)],
  );
}

function columnsOf(doors: readonly DoorRow[]): unknown[][] {
  const columns = ['id', 'siteId', 'doorTypeId', 'name', 'serial', 'fromZoneId', 'toZoneId', 'widthMm', 'heightMm', 'installedOn', 'maker', 'installer', 'notes'] as const;
  return columns.map((column) => doors.map((door) => door[column]));
}
