import type pg from 'pg';
import { newId, type CompanyContext } from '../context.js';
import type { ImportCells, ImportHandler } from '../duty/importHandler.js';
import { localToInstant, parseInstant } from '../duty/importInstant.js';
import { parseWholeNumber, quoted } from '../duty/importNumber.js';
import type { BatchOutcome, CellFault, ImportLine, RefusedCell } from '../duty/importTypes.js';
import { insertDoors, loadFleet, updateDoors, type DoorRow, type Fleet, type KnownSite } from './importDoorRows.js';

/** Characters of one line, as in the form. */
const LINE = 300;
const SIZE_MM = { from: 300, to: 20_000 };

type Read = { door: DoorRow; fresh: boolean; changed: boolean } | CellFault;

/**
 * Brings doors in. A door is known by its site and name: a new one is added with its counter and a part in each position, a known one takes over what the
 * file says of it; an empty cell says nothing. Owners, sites, rooms and door types must be there already.
 */
export class DoorsImport implements ImportHandler {
  private fleet: Fleet = { sites: new Map(), types: new Map(), doors: new Map(), serials: new Map() };

  constructor(
    private readonly context: CompanyContext,
    private readonly cells: ImportCells,
  ) {}

  async apply(client: pg.ClientBase, lines: readonly ImportLine[]): Promise<BatchOutcome> {
    // For each batch anew: another run or a person may have added doors since the last one.
    this.fleet = await loadFleet(client);
    const refusals: RefusedCell[] = [];
    const added = new Map<string, DoorRow>();
    const changed = new Map<string, DoorRow>();
    let accepted = 0;
    for (const line of lines) {
      const read = this.read(line);
      if ('reason' in read) {
        refusals.push({ line: line.line, ...read });
        continue;
      }
      if (!read.fresh && !read.changed) continue;
      accepted += 1;
      if (read.fresh || added.has(read.door.id)) added.set(read.door.id, read.door);
      else changed.set(read.door.id, read.door);
      this.keep(read.door);
    }
    await insertDoors(client, this.context, [...added.values()]);
    await updateDoors(client, this.context, [...changed.values()]);
    return {
      accepted,
      unchanged: lines.length - accepted - refusals.length,
      refusals,
      doorIds: [...added.keys(), ...changed.keys()],
    };
  }

  private keep(door: DoorRow): void {
    this.fleet.doors.set(`${door.siteId}\u0000${door.name.toLowerCase()}`, door);
    if (door.serial !== null) this.fleet.serials.set(door.serial.toLowerCase(), door.id);
  }

  private read(line: ImportLine): Read {
    const cell = (field: string): string => this.cells.text(line, field);
    const site = this.site(cell('owner'), cell('site'));
    if ('reason' in site) return site;
    const name = cell('name');
    if (name === '' || name.length > 120) return { field: 'name', reason: name === '' ? 'is empty' : 'is longer than 120 characters' };
    const known = this.fleet.doors.get(`${site.id}\u0000${name.toLowerCase()}`);
    const base = known ?? this.fresh(site, name, cell);
    if ('reason' in base) return base;
    const door = { ...base };
    const fault = this.fill(door, site, cell, known !== undefined);
    if (fault !== null) return fault;
    return { door, fresh: known === undefined, changed: JSON.stringify(door) !== JSON.stringify(base) };
  }

  private site(owner: string, name: string): KnownSite | CellFault {
    const sites = this.fleet.sites.get(name.toLowerCase()) ?? [];
    const found = owner === '' ? sites : sites.filter((site) => site.ownerName.toLowerCase() === owner.toLowerCase());
    if (found.length === 1) return found[0]!;
    if (sites.length === 0) return { field: 'site', reason: name === '' ? 'is empty' : `there is no site ${quoted(name)}` };
    return found.length === 0
      ? { field: 'owner', reason: `${quoted(owner)} has no site ${quoted(name)}` }
      : { field: 'owner', reason: `several owners have a site ${quoted(name)}: name the owner` };
  }

  /** A door that was not known yet: what it must have, and the size of its type. */
  private fresh(site: KnownSite, name: string, cell: (field: string) => string): DoorRow | CellFault {
    const type = this.fleet.types.get(cell('doorType').toLowerCase());
    if (type === undefined) return { field: 'doorType', reason: `there is no door type ${quoted(cell('doorType'))}` };
    return {
      id: newId(), siteId: site.id, doorTypeId: type.id, name, serial: null, fromZoneId: null, toZoneId: null,
      widthMm: type.widthMm, heightMm: type.heightMm, installedOn: '', maker: null, installer: null, notes: null,
      counter: { fittedAt: '', modulus: this.cells.modulus, startCycles: 0 },
    };
  }

  /** Takes over what the line says. @returns the first field that is wrong. */
  private fill(door: DoorRow, site: KnownSite, cell: (field: string) => string, known: boolean): CellFault | null {
    const type = cell('doorType');
    if (known && type !== '' && this.fleet.types.get(type.toLowerCase())?.id !== door.doorTypeId) {
      return { field: 'doorType', reason: `door ${door.name} is of another type; a door does not change its type` };
    }
    return this.fillSerial(door, cell('serial')) ?? this.fillZones(door, site, cell) ?? this.fillSizes(door, cell) ??
      this.fillDate(door, site, cell('installedOn'), known) ?? this.fillCounter(door, cell, known) ??
      fillText(door, 'maker', cell, LINE) ?? fillText(door, 'installer', cell, LINE) ?? fillText(door, 'notes', cell, 4000);
  }

  private fillSerial(door: DoorRow, serial: string): CellFault | null {
    if (serial === '') return null;
    if (serial.length > 300) return { field: 'serial', reason: 'is longer than 300 characters' };
    const holder = this.fleet.serials.get(serial.toLowerCase());
    if (holder !== undefined && holder !== door.id) return { field: 'serial', reason: `another door has serial ${quoted(serial)}` };
    door.serial = serial;
    return null;
  }

  private fillZones(door: DoorRow, site: KnownSite, cell: (field: string) => string): CellFault | null {
    for (const [field, key] of [['fromZone', 'fromZoneId'], ['toZone', 'toZoneId']] as const) {
      const name = cell(field);
      if (name === '') continue;
      const zoneId = site.zones.get(name.toLowerCase());
      if (zoneId === undefined) return { field, reason: `site ${site.name} has no zone ${quoted(name)}` };
      door[key] = zoneId;
    }
    return null;
  }

  private fillSizes(door: DoorRow, cell: (field: string) => string): CellFault | null {
    for (const field of ['widthMm', 'heightMm'] as const) {
      const text = cell(field);
      if (text === '') continue;
      const size = parseWholeNumber(text);
      if (typeof size !== 'number') return { field, ...size };
      if (size < SIZE_MM.from || size > SIZE_MM.to) {
        return { field, reason: `${text} is not between ${SIZE_MM.from} and ${SIZE_MM.to} millimetres` };
      }
      door[field] = size;
    }
    return null;
  }

  private fillDate(door: DoorRow, site: KnownSite, text: string, known: boolean): CellFault | null {
    if (text === '') return known ? null : { field: 'installedOn', reason: 'is empty' };
    // Read as a time in UTC so that the date stays the one that was written.
    const instant = parseInstant(text, this.cells.dateOrder, 'UTC');
    if (typeof instant !== 'number') return { field: 'installedOn', ...instant };
    door.installedOn = new Date(instant).toISOString().slice(0, 10);
    if (!known) {
      const midnight = Date.parse(`${door.installedOn}T00:00:00Z`);
      // Where the clocks skip midnight the day begins an hour later.
      const from = localToInstant(midnight, site.timeZone) ?? localToInstant(midnight + 3_600_000, site.timeZone) ?? midnight;
      door.counter = { ...door.counter!, fittedAt: new Date(from).toISOString() };
    }
    return null;
  }

  /** What the file says of the counter holds for a new door; a known door's counters are changed on its own page. */
  private fillCounter(door: DoorRow, cell: (field: string) => string, known: boolean): CellFault | null {
    for (const field of ['modulus', 'startCycles'] as const) {
      const text = cell(field);
      if (text === '') continue;
      const value = parseWholeNumber(text);
      if (typeof value !== 'number') return { field, ...value };
      if (field === 'modulus' && value < 2) return { field, reason: 'is below 2' };
      if (!known) door.counter = { ...door.counter!, [field]: value };
    }
    return null;
  }
}

function fillText(door: DoorRow, field: 'maker' | 'installer' | 'notes', cell: (field: string) => string, most: number): CellFault | null {
  const text = cell(field);
  if (text.length > most) return { field, reason: `is longer than ${most} characters` };
  if (text !== '') door[field] = text;
  return null;
}
