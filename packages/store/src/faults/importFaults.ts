import type pg from 'pg';
import type { CompanyContext } from '../context.js';
import type { ImportCells, ImportHandler } from '../duty/importHandler.js';
import { parseInstant } from '../duty/importInstant.js';
import { parseWholeNumber, quoted } from '../duty/importNumber.js';
import type { BatchOutcome, CellFault, ImportLine, RefusedCell } from '../duty/importTypes.js';
import { DoorDirectory } from '../fleet/importDoorDirectory.js';
import { beforeInstallation, insertFaults, loadFaultCodes, type PlacedFault } from './insertFaults.js';

/** Clocks and zones are off at times; a fault further ahead than this is a typing error. */
const AHEAD_MS = 24 * 3_600_000;
const LONGEST_NOTE = 4000;

/** Brings faults in. What stands already in the store, the same code on the same door at the same instant, is left as it is. */
export class FaultsImport implements ImportHandler {
  /** Read once: many lines name the same few doors and codes. */
  private doors: DoorDirectory | null = null;
  private codes: ReadonlyMap<string, string> | null = null;

  constructor(
    private readonly context: CompanyContext,
    private readonly importId: string,
    private readonly cells: ImportCells,
    private readonly now: number,
  ) {}

  async apply(client: pg.ClientBase, lines: readonly ImportLine[]): Promise<BatchOutcome> {
    const doors = (this.doors ??= await DoorDirectory.load(client));
    const codes = (this.codes ??= await loadFaultCodes(client));
    const refusals: RefusedCell[] = [];
    const faults: PlacedFault[] = [];
    for (const line of lines) {
      const fault = this.read(doors, codes, line);
      if ('reason' in fault) refusals.push({ line: line.line, ...fault });
      else faults.push(fault);
    }
    const accepted = await insertFaults(client, this.context, { source: 'file', importId: this.importId }, faults);
    // A fault moves no date that a projection computes: no door is asked for.
    return { accepted, unchanged: faults.length - accepted, refusals, doorIds: [] };
  }

  private read(doors: DoorDirectory, codes: ReadonlyMap<string, string>, line: ImportLine): PlacedFault | CellFault {
    const cell = (field: string): string => this.cells.text(line, field);
    const door = doors.find({ doorId: cell('doorId'), serial: cell('serial'), site: cell('site'), door: cell('door') });
    if ('reason' in door) return door;
    const at = parseInstant(cell('at'), this.cells.dateOrder, this.cells.timeZone ?? door.timeZone);
    if (typeof at !== 'number') return { field: 'at', ...at };
    if (at > this.now + AHEAD_MS) return { field: 'at', reason: `${new Date(at).toISOString()} lies in the future` };
    if (beforeInstallation(door.installedOn, at)) return { field: 'at', reason: `door ${door.name} was installed on ${door.installedOn}` };
    const code = cell('code');
    const faultCodeId = codes.get(code.toLowerCase());
    if (faultCodeId === undefined) {
      return { field: 'code', reason: code === '' ? 'is empty' : `the fault catalogue has no code ${quoted(code)}` };
    }
    const cycles = cell('lifetimeCycles');
    const lifetimeCycles = cycles === '' ? null : parseWholeNumber(cycles);
    if (typeof lifetimeCycles === 'object' && lifetimeCycles !== null) return { field: 'lifetimeCycles', ...lifetimeCycles };
    const note = cell('note');
    if (note.length > LONGEST_NOTE) return { field: 'note', reason: `is longer than ${LONGEST_NOTE} characters` };
    if (note.includes('\u0000')) return { field: 'note', reason: 'holds the character 0' };
    return { doorId: door.id, faultCodeId, at, lifetimeCycles, note: note === '' ? null : note };
  }
}
