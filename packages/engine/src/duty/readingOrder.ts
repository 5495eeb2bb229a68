import type { CounterSpan, RawReading } from './types.js';

/**
 * Index of the counter that a reading belongs to: the one it names, else the one fitted at its instant (the
 * earlier one in a gap between two, the first before all).
 * @throws RangeError naming the reading and the field.
 */
export function counterAt(reading: RawReading, index: number, counters: readonly CounterSpan[]): number {
  if (!Number.isFinite(reading.at)) {
    throw new RangeError(`reading ${index}: at must be a finite number of milliseconds`);
  }
  if (!(reading.value >= 0 && reading.value < Infinity)) {
    throw new RangeError(`reading ${index}: value must be 0 or more`);
  }
  if (reading.counter !== undefined) {
    if (Number.isInteger(reading.counter) && reading.counter >= 0 && reading.counter < Math.max(counters.length, 1)) {
      return reading.counter;
    }
    throw new RangeError(`reading ${index}: counter ${reading.counter} does not exist`);
  }
  let found = 0;
  while (found + 1 < counters.length && counters[found + 1]!.from <= reading.at) found += 1;
  return found;
}

/**
 * The readings by counter, instant and value; of equal ones a planner's 'use' comes first, then the order of
 * the input. O(n) if they come so, else O(n log n).
 */
export function orderOf(readings: readonly RawReading[], counterOf: readonly number[]): Uint32Array {
  const compare = (a: number, b: number): number => {
    const one = readings[a]!;
    const other = readings[b]!;
    return (
      counterOf[a]! - counterOf[b]! ||
      one.at - other.at ||
      one.value - other.value ||
      rank(one) - rank(other) ||
      a - b
    );
  };
  const order = new Uint32Array(readings.length);
  let sorted = true;
  for (let index = 0; index < order.length; index++) {
    order[index] = index;
    if (index > 0 && sorted) sorted = compare(index - 1, index) <= 0;
  }
  return sorted ? order : order.sort(compare);
}

/** A reading set aside must not be the one that others are duplicates of. */
function rank(reading: RawReading): number {
  return reading.overruled === 'use' ? 0 : reading.overruled === undefined ? 1 : 2;
}
