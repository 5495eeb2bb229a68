import type { CountLine } from './countLine.js';
import { mostCycles } from './countLine.js';
import { DAY_MS } from './days.js';
import type { Verdict } from './types.js';

/**
 * Why a reading does not lie on the counter's line. `before` and `after` are the positions of the used
 * readings on either side (−1: none), `lowestUsed` the least value used before it since the count began. In
 * this order: a second value of one instant; a slip of the fingers (a digit swapped, left out, doubled); a
 * value that belongs to an earlier time; more cycles than the door can make; and otherwise, as the line goes
 * on without it, a typing error.
 */
export function asideVerdict(
  line: CountLine,
  position: number,
  before: number,
  after: number,
  lowestUsed: number,
): Verdict {
  const at = line.at[position]!;
  const value = line.value[position]!;
  if (before >= 0 && line.at[before] === at) return 'out-of-order';
  if (after >= 0 && line.at[after] === at) return 'out-of-order';
  const low = before >= 0 ? line.value[before]! : (line.fitted?.value ?? 0);
  const lowAt = before >= 0 ? line.at[before]! : (line.fitted?.at ?? at);
  const expected = low + 3 * line.rate * (at - lowAt + DAY_MS);
  const high = after >= 0 && line.value[after]! >= low ? line.value[after]! : expected;
  if (slipped(value, low, high)) return 'mistyped';
  if (value < low) return before >= 0 && value >= lowestUsed ? 'out-of-order' : 'mistyped';
  if ((before >= 0 || line.fitted !== null) && value - low > mostCycles(line, at - lowAt)) return 'too-fast';
  return 'mistyped';
}

/**
 * Whether a value becomes one between `low` and `high` by swapping two neighbouring digits, taking one out or
 * doubling one: the commonest slips. (A single wrong digit is not tried: nearly every value is one wrong
 * digit away from the line.)
 */
function slipped(value: number, low: number, high: number): boolean {
  const fits = (text: string) => Number(text) >= low && Number(text) <= high;
  const digits = String(value);
  for (let i = 0; i < digits.length; i++) {
    const head = digits.slice(0, i);
    const tail = digits.slice(i + 1);
    if (fits(head + tail) || fits(head + digits[i]! + digits[i]! + tail)) return true;
    if (i + 1 < digits.length && fits(head + digits[i + 1]! + digits[i]! + digits.slice(i + 2))) return true;
  }
  return false;
}
