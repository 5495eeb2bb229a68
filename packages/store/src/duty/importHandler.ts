import type { ImportMapping } from '@lintel/contract';
import type pg from 'pg';
import type { DateOrder } from './importInstant.js';
import type { BatchOutcome, ImportLine } from './importTypes.js';

/** Brings the lines of one kind of file in, batch by batch. */
export interface ImportHandler {
  /** Writes one batch in the caller's transaction. The same lines a second time change nothing. */
  apply(client: pg.ClientBase, lines: readonly ImportLine[]): Promise<BatchOutcome>;
}

/** The cells of a line by our own field names. */
export class ImportCells {
  private readonly indexes: ReadonlyMap<string, number>;
  readonly dateOrder: DateOrder;
  /** Null: the zone of each door's site. */
  readonly timeZone: string | null;
  readonly modulus: number | null;

  constructor(header: readonly string[], mapping: ImportMapping) {
    this.indexes = new Map(Object.entries(mapping.columns).map(([field, column]) => [field, header.indexOf(column)]));
    this.dateOrder = mapping.dateOrder ?? 'year-month-day';
    this.timeZone = mapping.timeZone ?? null;
    this.modulus = mapping.modulus ?? null;
  }

  /** The cell of a field, without blanks around it; empty where the file has no such column. */
  text(line: ImportLine, field: string): string {
    const index = this.indexes.get(field);
    return index === undefined ? '' : (line.cells[index] ?? '').trim();
  }
}
