/** One line of the file: its number (the header is line 1) and its cells. */
export interface ImportLine {
  line: number;
  cells: readonly string[];
}

/** Where one field of a line is wrong, and why. */
export interface CellFault {
  field: string;
  reason: string;
}

export interface RefusedCell extends CellFault {
  line: number;
}

/** What became of one batch of lines: accepted + unchanged + refused lines = lines. */
export interface BatchOutcome {
  accepted: number;
  unchanged: number;
  refusals: RefusedCell[];
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
