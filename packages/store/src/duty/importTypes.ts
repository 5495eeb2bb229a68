export type ImportKind = 'readings' | 'doors' | 'parts';

/**
 * How instants without a marked order are to be read. ISO 8601 and `YYYY-MM-DD HH:mm[:ss]` are always understood; `03/04/2026`
 * is not until somebody says which comes first.
 */
export type InstantOrder = 'iso' | 'day-first' | 'month-first';

/** How a foreign file is to be read. */
export interface ImportMapping {
  /** Our field → the file's column. */
  columns: Record<string, string>;
  instants: InstantOrder;
  /** IANA zone of local times; null: the zone of the door's site. */
  timeZone: string | null;
  /** Value at which the counters roll over, where they do not say so themselves; null: not known. */
  modulus: number | null;
}

/** One line of the file: its number (the header is line 1) and its cells. */
export interface ImportLine {
  line: number;
  cells: readonly string[];
}

export interface ImportRefusal {
  line: number;
  field: string;
  reason: string;
}

/** Where one field of a line is wrong, and why. */
export type CellFault = { field: string; reason: string };

/** What became of one batch of lines: accepted + unchanged + refused lines = lines. */
export interface BatchOutcome {
  accepted: number;
  unchanged: number;
  refusals: ImportRefusal[];
  /** Doors that something changed for. */
  doorIds: Iterable<string>;
}

export interface ImportProgress {
  readBytes: number;
  lines: number;
  accepted: number;
  unchanged: number;
  refused: number;
}

export interface ImportResult extends ImportProgress {
  state: 'done' | 'failed' | 'cancelled';
  /** Why the file as a whole could not be read. */
  error: string | null;
}
