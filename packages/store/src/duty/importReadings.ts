import type pg from 'pg';
import { newId, type CompanyContext } from '../context.js';
import { counterAt, DoorDirectory } from '../fleet/importDoorDirectory.js';
import type { ImportCells, ImportHandler } from './importHandler.js';
import { parseInstant } from './importInstant.js';
import { parseWholeNumber } from './importNumber.js';
import type { BatchOutcome, CellFault, ImportLine, RefusedCell } from './importTypes.js';

/** Clocks and zones are off at times; a reading further ahead than this is a typing error. */
const AHEAD_MS = 24 * 3_600_000;

interface NewReading {
  doorId: string;
  counterId: string;
  at: number;
  value: number;
}

/** Brings counter readings in. What stands already in the store, at the same instant with the same value, is left as it is. */
export class ReadingsImport implements ImportHandler {
  /** Read once: a million lines name the same doors again and again. */
  private doors: DoorDirectory | null = null;

  constructor(
    private readonly context: CompanyContext,
    private readonly importId: string,
    private readonly cells: ImportCells,
    private readonly now: number,
  ) {}

  async apply(client: pg.ClientBase, lines: readonly ImportLine[]): Promise<BatchOutcome> {
    const doors = (this.doors ??= await DoorDirectory.load(client));
    const refusals: RefusedCell[] = [];
    const readings: NewReading[] = [];
    for (const line of lines) {
      const reading = this.read(doors, line);
      if ('reason' in reading) refusals.push({ line: line.line, ...reading });
      else readings.push(reading);
    }
    const accepted = await insertReadings(client, this.context, this.importId, readings);
    await this.setModulus(client, readings);
    return {
      accepted,
      unchanged: readings.length - accepted,
      refusals,
      doorIds: accepted > 0 ? new Set(readings.map((reading) => reading.doorId)) : [],
    };
  }

  private read(doors: DoorDirectory, line: ImportLine): NewReading | CellFault {
    const cell = (field: string): string => this.cells.text(line, field);
    const door = doors.find({ doorId: cell('doorId'), serial: cell('serial'), site: cell('site'), door: cell('door') });
    if ('reason' in door) return door;
    const at = parseInstant(cell('at'), this.cells.dateOrder, this.cells.timeZone ?? door.timeZone);
    if (typeof at !== 'number') return { field: 'at', ...at };
    if (at > this.now + AHEAD_MS) return { field: 'at', reason: `${new Date(at).toISOString()} lies in the future` };
    const value = parseWholeNumber(cell('value'));
    if (typeof value !== 'number') return { field: 'value', ...value };
    const counter = counterAt(door, at, cell('counter'));
    if ('reason' in counter) return counter;
    const modulus = counter.modulus ?? this.cells.modulus;
    if (modulus !== null && value >= modulus) return { field: 'value', reason: `this counter rolls over at ${modulus}` };
    return { doorId: door.id, counterId: counter.id, at, value };
  }

  /** The file's modulus, for counters that do not name their own. */
  private async setModulus(client: pg.ClientBase, readings: readonly NewReading[]): Promise<void> {
    if (this.cells.modulus === null || readings.length === 0) return;
    await client.query(
      `UPDATE counter SET modulus = $2, version = version + 1
       WHERE company_id = $1 AND modulus IS NULL AND id = ANY($3::uuid[])`,
      [this.context.companyId, this.cells.modulus, [...new Set(readings.map((reading) => reading.counterId))]],
    );
  }
}

/**
 * Adds readings that are not there yet, as one statement. @returns how many were added.
 * In the order of their key: two files that bring the same readings at once then wait for each other instead of locking up.
 */
async function insertReadings(
  client: pg.ClientBase,
  context: CompanyContext,
  importId: string,
  readings: readonly NewReading[],
): Promise<number> {
  if (readings.length === 0) return 0;
  const sorted = [...readings].sort(
    (a, b) => (a.doorId < b.doorId ? -1 : a.doorId > b.doorId ? 1 : a.at - b.at || a.value - b.value),
  );
  const { rowCount } = await client.query(
    `INSERT INTO reading (company_id, id, door_id, counter_id, at, value, source, import_id)
     SELECT $1::uuid, r.id, r.door_id, r.counter_id, r.at, r.value, 'file', $2::uuid
     FROM unnest($3::uuid[], $4::uuid[], $5::uuid[], $6::timestamptz[], $7::bigint[]) AS r(id, door_id, counter_id, at, value)
     ON CONFLICT DO NOTHING`,
    [
      context.companyId,
      importId,
      sorted.map(() => newId()),
      sorted.map((reading) => reading.doorId),
      sorted.map((reading) => reading.counterId),
      sorted.map((reading) => new Date(reading.at).toISOString()),
      sorted.map((reading) => reading.value),
    ],
  );
  return rowCount ?? 0;
}
