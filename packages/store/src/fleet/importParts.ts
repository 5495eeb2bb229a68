import { partKinds, removalReason } from '@lintel/contract';
import type pg from 'pg';
import { newId, type CompanyContext } from '../context.js';
import type { ImportCells, ImportHandler } from '../duty/importHandler.js';
import { parseInstant } from '../duty/importInstant.js';
import { parseWholeNumber, quoted } from '../duty/importNumber.js';
import type { BatchOutcome, CellFault, ImportLine, RefusedCell } from '../duty/importTypes.js';
import { DoorDirectory, type KnownDoor } from './importDoorDirectory.js';
import { insertParts, loadParts, loadPositions, updateParts, type KnownPosition, type PartRow } from './importPartRows.js';

const FIELDS = ['serial', 'fittedCycles', 'ageAtFitting', 'removedAt', 'removedCycles', 'removalReason', 'note'] as const;
type Given = { [Field in (typeof FIELDS)[number]]?: NonNullable<PartRow[Field]> };

interface ReadPart {
  door: KnownDoor;
  position: KnownPosition;
  fittedAt: number;
  given: Given;
}

/**
 * Brings fitted parts in, past and present. A part is known by its door, position and instant of fitting; a known one takes over
 * what was still unknown of it, its removal above all, and never changes what was known. A position holds one part at a time;
 * one that was only presumed there since the door's first day gives way and is marked as entered in error.
 */
export class PartsImport implements ImportHandler {
  constructor(
    private readonly context: CompanyContext,
    private readonly cells: ImportCells,
  ) {}

  async apply(client: pg.ClientBase, lines: readonly ImportLine[]): Promise<BatchOutcome> {
    const doors = await DoorDirectory.load(client);
    const positions = await loadPositions(client);
    const refusals: RefusedCell[] = [];
    const reads: { line: number; part: ReadPart }[] = [];
    for (const line of lines) {
      const part = this.read(line, doors, positions);
      if ('reason' in part) refusals.push({ line: line.line, ...part });
      else reads.push({ line: line.line, part });
    }
    const known = await loadParts(client, [...new Set(reads.map(({ part }) => part.door.id))]);
    const added = new Set<PartRow>();
    const changed = new Set<PartRow>();
    let accepted = 0;
    for (const { line, part } of reads) {
      const found = place(known, part);
      if ('reason' in found) refusals.push({ line, ...found });
      else if (found.news !== 'none') {
        accepted += 1;
        if (found.news === 'added') added.add(found.row);
        else if (!added.has(found.row)) changed.add(found.row);
        if (found.gaveWay !== undefined) changed.add(found.gaveWay);
      }
    }
    // Removals first: a successor fits in only then.
    await updateParts(client, this.context, [...changed]);
    await insertParts(client, this.context, [...added]);
    const unchanged = lines.length - accepted - refusals.length;
    return { accepted, unchanged, refusals, doorIds: new Set([...added, ...changed].map((row) => row.doorId)) };
  }

  private read(line: ImportLine, doors: DoorDirectory, positions: Map<string, KnownPosition[]>): ReadPart | CellFault {
    const cell = (field: string): string => this.cells.text(line, field);
    const door = doors.find({ doorId: cell('doorId'), serial: cell('serial'), site: cell('site'), door: cell('door') });
    if ('reason' in door) return door;
    const position = findPosition(positions.get(door.doorTypeId) ?? [], cell('position'));
    if ('reason' in position) return position;
    const zone = this.cells.timeZone ?? door.timeZone;
    const fittedAt = parseInstant(cell('fittedAt'), this.cells.dateOrder, zone);
    if (typeof fittedAt !== 'number') return { field: 'fittedAt', ...fittedAt };
    const given: Given = {};
    const fault = this.readCounts(given, cell) ?? this.readRemoval(given, cell, fittedAt, zone) ?? this.readTexts(given, cell);
    if (fault !== null) return fault;
    return { door, position, fittedAt, given };
  }

  private readCounts(given: Given, cell: (field: string) => string): CellFault | null {
    for (const field of ['fittedCycles', 'ageAtFitting', 'removedCycles'] as const) {
      if (cell(field) === '') continue;
      const value = parseWholeNumber(cell(field));
      if (typeof value !== 'number') return { field, ...value };
      given[field] = value;
    }
    return null;
  }

  private readTexts(given: Given, cell: (field: string) => string): CellFault | null {
    for (const [field, key, longest] of [['partSerial', 'serial', 300], ['note', 'note', 4000]] as const) {
      const text = cell(field);
      if (text.length > longest) return { field, reason: `is longer than ${longest} characters` };
      if (text !== '') given[key] = text;
    }
    return null;
  }

  private readRemoval(given: Given, cell: (field: string) => string, fittedAt: number, zone: string): CellFault | null {
    const [text, reasonText] = [cell('removedAt'), cell('removalReason')];
    if (text === '') {
      if (reasonText !== '') return { field: 'removedAt', reason: 'is empty, though a reason of removal is given' };
      return given.removedCycles === undefined ? null : { field: 'removedAt', reason: 'is empty, though cycles at removal are given' };
    }
    const removedAt = parseInstant(text, this.cells.dateOrder, zone);
    if (typeof removedAt !== 'number') return { field: 'removedAt', ...removedAt };
    if (removedAt < fittedAt) return { field: 'removedAt', reason: `${quoted(text)} lies before the fitting` };
    if (given.fittedCycles !== undefined && given.removedCycles !== undefined && given.removedCycles < given.fittedCycles) {
      return { field: 'removedCycles', reason: 'is less than the cycles at fitting' };
    }
    const reason = removalReason.safeParse(reasonText.toLowerCase().replaceAll(/[\s_]+/g, '-'));
    if (!reason.success) {
      return { field: 'removalReason', reason: `${quoted(reasonText)} is none of ${removalReason.options.join(', ')}` };
    }
    given.removedAt = removedAt;
    given.removalReason = reason.data;
    return null;
  }
}

function findPosition(positions: readonly KnownPosition[], text: string): KnownPosition | CellFault {
  if (text === '') return { field: 'position', reason: 'is empty' };
  const wanted = text.toLowerCase();
  const byName = positions.find((position) => position.name.toLowerCase() === wanted);
  if (byName !== undefined) return byName;
  const kind = wanted.replaceAll(/[\s_]+/g, '-');
  const byKind = positions.filter((position) => position.kind === kind);
  if (byKind.length === 1) return byKind[0]!;
  if (byKind.length > 1) return { field: 'position', reason: `the door has several positions for ${kind}: name one` };
  const isKind = (partKinds as readonly string[]).includes(kind);
  return { field: 'position', reason: `the door's type has no position ${isKind ? `for ${kind}` : quoted(text)}` };
}

type Placed = { row: PartRow; news: 'none' | 'added' | 'changed'; gaveWay?: PartRow } | CellFault;

/** Puts a part among the known ones of its position. */
function place(known: Map<string, PartRow[]>, { door, position, fittedAt, given }: ReadPart): Placed {
  const key = `${door.id}\u0000${position.id}`;
  const parts = known.get(key) ?? [];
  const same = parts.find((part) => part.fittedAt === fittedAt);
  const row: PartRow = same ?? {
    id: newId(), doorId: door.id, positionId: position.id, fittedAt, serial: null, fittedCycles: null, ageAtFitting: 0,
    removedAt: null, removedCycles: null, removalReason: null, note: null, presumed: false,
  };
  const contradicted = FIELDS.find((field) => same !== undefined && contradicts(row[field], given[field]));
  if (contradicted !== undefined) {
    return { field: contradicted, reason: `the part fitted then has ${String(row[contradicted])} already` };
  }
  const removedAt = given.removedAt ?? row.removedAt;
  const other = parts.find((part) => part !== same && overlaps(part, fittedAt, removedAt));
  if (other !== undefined && !other.presumed) {
    const since = new Date(other.fittedAt).toISOString();
    return { field: 'fittedAt', reason: `${position.name} of ${door.name} held the part fitted at ${since} then` };
  }
  const news = FIELDS.some((field) => given[field] !== undefined && given[field] !== row[field]);
  Object.assign(row, given, { presumed: false });
  if (other !== undefined) Object.assign(other, { removedAt: other.fittedAt, removalReason: 'entered-in-error', presumed: false });
  if (same === undefined) known.set(key, [...parts, row]);
  return { row, news: same === undefined ? 'added' : news ? 'changed' : 'none', ...(other === undefined ? {} : { gaveWay: other }) };
}

function contradicts(known: string | number | null, given: string | number | null | undefined): boolean {
  // An age of 0 is what stands where none was given.
  return given !== undefined && known !== null && known !== 0 && known !== given;
}

function overlaps(part: PartRow, from: number, to: number | null): boolean {
  if (part.removalReason === 'entered-in-error') return false;
  return part.fittedAt < (to ?? Infinity) && from < (part.removedAt ?? Infinity);
}
