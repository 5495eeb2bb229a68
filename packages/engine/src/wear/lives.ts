/**
 * Lives of parts of one kind, as columns of one length; all ages in one unit. Fitted parts give them: a failed
 * part is an event; one still running, or replaced for another reason, is a suspension (right-censored); one
 * that was first seen at an age above 0 has that age as its entry (left-truncated: had it failed before, it
 * would not be here).
 */
export interface Lives {
  /** Age at failure or when last known to run. */
  age: Float64Array;
  /** 1: failed at that age; 0: suspended. */
  event: Uint8Array;
  /** Age at which it came under observation; left out: 0 for all. */
  entry?: Float64Array;
  /** How many such lives a row stands for; left out: 1 for all. */
  weight?: Float64Array;
}

/** One row of life data. */
export interface LifeRow {
  age: number;
  event: 0 | 1;
  entry?: number;
  weight?: number;
}

/** Rows to columns. O(rows). */
export function livesOf(rows: readonly LifeRow[]): Lives {
  const lives: Lives = { age: new Float64Array(rows.length), event: new Uint8Array(rows.length) };
  if (rows.some((row) => row.entry !== undefined)) lives.entry = new Float64Array(rows.length);
  if (rows.some((row) => row.weight !== undefined)) lives.weight = new Float64Array(rows.length).fill(1);
  rows.forEach((row, i) => {
    lives.age[i] = row.age;
    lives.event[i] = row.event;
    if (lives.entry) lives.entry[i] = row.entry ?? 0;
    if (lives.weight) lives.weight[i] = row.weight ?? 1;
  });
  return lives;
}

/**
 * @throws RangeError naming field and row (from 1), unless ages are finite and above 0 (0 will do for a
 * suspension, which
 * then says nothing), events 0 or 1, entries between 0 and the age, weights finite and not below 0, all of one
 * length.
 */
export function checkLives(lives: Lives): void {
  const { age, event, entry, weight } = lives;
  for (const [field, column] of Object.entries({ event, entry, weight })) {
    if (column && column.length !== age.length)
      throw new RangeError(`${field} has ${column.length} rows, age ${age.length}`);
  }
  for (let i = 0; i < age.length; i++) {
    const t = age[i]!;
    if (!(t >= 0 && t < Infinity))
      throw new RangeError(`age in row ${i + 1} must be a number above 0, not ${t}`);
    if (event[i]! > 1) throw new RangeError(`event in row ${i + 1} must be 0 or 1, not ${event[i]}`);
    if (t === 0 && event[i] === 1) throw new RangeError(`age in row ${i + 1} must be above 0 for a failure`);
    if (entry && !(entry[i]! >= 0 && entry[i]! <= t)) {
      throw new RangeError(`entry in row ${i + 1} must be between 0 and the age, not ${entry[i]}`);
    }
    if (weight && !(weight[i]! >= 0 && weight[i]! < Infinity)) {
      throw new RangeError(`weight in row ${i + 1} must be 0 or more, not ${weight[i]}`);
    }
  }
}
