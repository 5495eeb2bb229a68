import type pg from 'pg';
import type { CellFault } from '../duty/importTypes.js';
import { quoted } from '../duty/importNumber.js';

export interface KnownCounter {
  id: string;
  name: string;
  /** Milliseconds since 1970-01-01T00:00Z; `removedAt` is Infinity while it is fitted. */
  fittedAt: number;
  removedAt: number;
  /** Null: not known. */
  modulus: number | null;
}

export interface KnownDoor {
  id: string;
  name: string;
  serial: string | null;
  siteId: string;
  siteName: string;
  timeZone: string;
  doorTypeId: string;
  /** Date, `YYYY-MM-DD`. */
  installedOn: string;
  /** In order of fitting. */
  counters: KnownCounter[];
}

/** How a line names its door; empty where it does not say. */
export interface DoorNames {
  doorId: string;
  serial: string;
  site: string;
  door: string;
}

const fold = (text: string): string => text.trim().toLowerCase();
const siteAndDoor = (site: string, door: string): string => `${fold(site)}\u0000${fold(door)}`;

/** The doors of a company, to be found by id, by serial, or by site and name (upper and lower case alike). */
export class DoorDirectory {
  private readonly byId = new Map<string, KnownDoor>();
  private readonly bySerial = new Map<string, KnownDoor | 'several'>();
  private readonly byName = new Map<string, KnownDoor | 'several'>();

  /** Reads all doors that the transaction's company has; about a kilobyte each. */
  static async load(client: pg.ClientBase): Promise<DoorDirectory> {
    const { rows } = await client.query<Omit<KnownDoor, 'counters'> & { counters: StoredCounter[] }>(
      `SELECT d.id, d.name, d.serial, d.site_id AS "siteId", s.name AS "siteName", s.time_zone AS "timeZone",
         d.door_type_id AS "doorTypeId", d.installed_on::text AS "installedOn", coalesce(c.counters, '[]') AS counters
       FROM door d
       JOIN site s ON s.company_id = d.company_id AND s.id = d.site_id
       LEFT JOIN LATERAL (
         SELECT json_agg(json_build_object('id', c.id, 'name', c.name, 'modulus', c.modulus, 'fitted', extract(epoch FROM c.fitted_at) * 1000,
           'removed', extract(epoch FROM c.removed_at) * 1000) ORDER BY c.fitted_at, c.id) AS counters
         FROM counter c WHERE c.company_id = d.company_id AND c.door_id = d.id
       ) c ON true`,
    );
    const directory = new DoorDirectory();
    for (const { counters, ...door } of rows) {
      directory.add({
        ...door,
        counters: counters.map(({ fitted, removed, ...counter }) => ({ ...counter, fittedAt: fitted, removedAt: removed ?? Infinity })),
      });
    }
    return directory;
  }

  add(door: KnownDoor): void {
    this.byId.set(door.id, door);
    if (door.serial !== null) addName(this.bySerial, fold(door.serial), door);
    addName(this.byName, siteAndDoor(door.siteName, door.name), door);
  }

  /** The door that a line names, or the field that names none. Names that contradict each other name none. */
  find(names: DoorNames): KnownDoor | CellFault {
    const found: KnownDoor[] = [];
    if (names.doorId !== '') {
      const door = this.byId.get(names.doorId.toLowerCase());
      if (door === undefined) return { field: 'doorId', reason: `there is no door with id ${quoted(names.doorId)}` };
      found.push(door);
    }
    if (names.serial !== '') {
      const door = this.bySerial.get(fold(names.serial));
      if (door === undefined) return { field: 'serial', reason: `there is no door with serial ${quoted(names.serial)}` };
      if (door === 'several') return { field: 'serial', reason: `several doors have serial ${quoted(names.serial)}` };
      found.push(door);
    }
    if (names.door !== '' && names.site !== '') {
      const door = this.byName.get(siteAndDoor(names.site, names.door));
      if (door === undefined) return { field: 'door', reason: `site ${quoted(names.site)} has no door ${quoted(names.door)}` };
      if (door === 'several') return { field: 'site', reason: `several owners have a site ${quoted(names.site)} with door ${quoted(names.door)}` };
      found.push(door);
    }
    const [door, other] = [found[0], found.find((each) => each !== found[0])];
    if (door === undefined) return { field: 'door', reason: 'the line names no door: a serial, an id, or site and door' };
    if (other !== undefined) {
      return { field: 'door', reason: `the line names two doors: ${door.siteName} ${door.name} and ${other.siteName} ${other.name}` };
    }
    return door;
  }
}

interface StoredCounter {
  id: string;
  name: string;
  fitted: number;
  removed: number | null;
  modulus: number | null;
}

function addName(names: Map<string, KnownDoor | 'several'>, key: string, door: KnownDoor): void {
  const known = names.get(key);
  names.set(key, known === undefined || (known !== 'several' && known.id === door.id) ? door : 'several');
}

/** The counter that a door carried at an instant, or why there is none; `name` picks one where it carried several. */
export function counterAt(door: KnownDoor, at: number, name = ''): KnownCounter | CellFault {
  if (door.counters.length === 0) return { field: 'door', reason: `door ${door.name} has no counter yet` };
  const candidates = name === '' ? door.counters : door.counters.filter((counter) => fold(counter.name) === fold(name));
  if (candidates.length === 0) return { field: 'counter', reason: `door ${door.name} has no counter ${quoted(name)}` };
  const fitted = candidates.findLast((counter) => counter.fittedAt <= at && at <= counter.removedAt);
  if (fitted !== undefined) return fitted;
  const first = new Date(candidates[0]!.fittedAt).toISOString();
  const why = at < candidates[0]!.fittedAt ? `its first counter was fitted at ${first}` : 'its counter had been removed';
  return { field: 'at', reason: `door ${door.name} carried no counter then: ${why}` };
}
