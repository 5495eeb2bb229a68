import { DAY_MS } from './days.js';
import type { CycleHistory } from './types.js';

/**
 * Cycles counted over stretches of time, oldest first; days count back from the last reading (0), so they are
 * negative.
 */
export interface Blocks {
  count: number;
  /** Start and end of each, in days from the last reading. */
  from: Float64Array;
  to: Float64Array;
  cycles: Float64Array;
  /** Days' worth of average duty in each: its length, until a season is taken out. */
  days: Float64Array;
}

/**
 * Readings closer than this are put together to about a week, so that weekdays and holidays do not pass for
 * drift.
 */
const BLOCK_DAYS = 6.5;

/** A short history is cut into this many blocks at least, if its readings allow. */
const FEWEST_BLOCKS = 6;

/** Index after the last reading at or before an instant. O(log n). */
export function readingsUntil(history: CycleHistory, asOf: number): number {
  let low = 0;
  let high = history.at.length;
  while (low < high) {
    const middle = (low + high) >> 1;
    if (history.at[middle]! <= asOf) low = middle + 1;
    else high = middle;
  }
  return low;
}

/**
 * The increments between the first `readings` readings, put together from the last one backwards to blocks of
 * about a week (longer ones stay as they are). Estimated cycles are no evidence and leave a gap. O(n).
 */
export function blocksOf(history: CycleHistory, readings: number): Blocks {
  const { at, cycles, estimated } = history;
  const last = readings - 1;
  const startAt = history.start?.at ?? Infinity;
  const withStart = readings > 0 && startAt < at[0]! && estimated[0] === 0;
  const origin = readings > 0 ? at[last]! : 0;
  const span = readings > 0 ? (origin - (withStart ? startAt : at[0]!)) / DAY_MS : 0;
  const shortest = Math.min(BLOCK_DAYS, (span / FEWEST_BLOCKS) * 0.999);
  const capacity = readings + 1;
  const blocks: Blocks = {
    count: 0,
    from: new Float64Array(capacity),
    to: new Float64Array(capacity),
    cycles: new Float64Array(capacity),
    days: new Float64Array(capacity),
  };
  let open = 0;
  let upper = readings > 0 ? cycles[last]! : 0;
  for (let index = last - 1; index >= (withStart ? -1 : 0); index--) {
    const broken = estimated[index + 1] === 1;
    const day = ((index < 0 ? startAt : at[index]!) - origin) / DAY_MS;
    const value = index < 0 ? history.start!.cycles : cycles[index]!;
    if (broken) {
      // The stretch that ends here may be shorter than a block: its end is the reading above the gap.
      const end = (at[index + 1]! - origin) / DAY_MS;
      if (end < open) push(blocks, end, open, upper - cycles[index + 1]!);
    } else if (open - day < shortest && index > (withStart ? -1 : 0)) continue;
    else if (open > day) push(blocks, day, open, upper - value);
    open = day;
    upper = value;
  }
  reverse(blocks);
  return blocks;
}

function push(blocks: Blocks, from: number, to: number, cycles: number): void {
  const index = blocks.count++;
  blocks.from[index] = from;
  blocks.to[index] = to;
  blocks.cycles[index] = Math.max(0, cycles);
  blocks.days[index] = to - from;
}

function reverse(blocks: Blocks): void {
  for (const column of [blocks.from, blocks.to, blocks.cycles, blocks.days]) {
    column.subarray(0, blocks.count).reverse();
  }
}
