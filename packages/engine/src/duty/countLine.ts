import { DAY_MS } from './days.js';

/** The readings of one counter, oldest first, and what is known of it. */
export interface CountLine {
  count: number;
  /** Instants, milliseconds, never falling. */
  at: Float64Array;
  value: Float64Array;
  /** 1 where the planner said 'use'. */
  forced: Uint8Array;
  /** What the counter showed when fitted; null: not known. */
  fitted: { at: number; value: number } | null;
  modulus: number | null;
  /** Shortest time that one cycle can take, milliseconds. */
  cycleMs: number;
  /** Typical cycles a millisecond; 0: not known. */
  rate: number;
  /** How many rises that is the median of: the fewer, the farther off a rise may be and still be in line. */
  rises: number;
}

/** How a used reading follows the one before. */
export type Step = 'first' | 'forward' | 'rollover' | 'reset';

export interface Chain {
  /** Positions of the used readings, ascending, and how each follows the one before (or the fitting). */
  positions: number[];
  steps: Step[];
}

/** A rise this many times the typical rate is out of line; so is, already, a fall that is to be explained. */
const FAR_OFF = 6;
const FALL_FAR_OFF = 3;

/**
 * Prices, in readings set aside. A reading that is set aside costs 1 between two used ones, and a little more
 * than a reset at either end, where nothing tells whether the line returns. A fall from just under a power of
 * ten is a likely rollover, a reset to a value the door can have made since is likelier than one to any other
 * value, which two readings must show. So must a rise six times as steep as usual.
 */
export const PRICE = {
  aside: 1,
  asideAtEnd: 2,
  outOfLine: 2.1,
  knownRollover: 0.2,
  guessedRollover: 0.5,
  unlikelyRollover: 2.2,
  reset: 1.9,
  unlikelyReset: 3.1,
};

/** Most readings in a row that are set aside, less one; a longer run is believed. */
const LOOK_BACK = 8;

/** Fewest digits of a counter whose modulus is guessed: 10^4. */
const SMALLEST_GUESSED_MODULUS = 10_000;

/** How near under a power of ten a counter of unknown modulus must stand to have rolled over. */
const NEAR_MODULUS = 0.1;

/** Most cycles that the door can make in a time: one is added for a cycle already under way. */
export function mostCycles(line: CountLine, elapsedMs: number): number {
  return elapsedMs / line.cycleMs + 1;
}

/** The modulus that a fall from `value` to `next` points to, or null. */
export function modulusOf(line: CountLine, value: number, next: number, elapsedMs: number): number | null {
  if (line.modulus !== null) return line.modulus;
  let modulus = SMALLEST_GUESSED_MODULUS;
  while (modulus <= value) modulus *= 10;
  const missing = modulus - value;
  if (missing > NEAR_MODULUS * modulus) return null;
  return inLine(line, missing + next, elapsedMs, FALL_FAR_OFF) ? modulus : null;
}

/**
 * Whether so many cycles in a time are near enough to the typical rate; anything is while that is unknown.
 */
function inLine(line: CountLine, cycles: number, elapsedMs: number, farOff: number): boolean {
  return line.rate === 0 || cycles <= farOff * (1 + 4 / line.rises) * line.rate * (elapsedMs + DAY_MS);
}

/** Price and kind of following a reading (instant, value) with reading `next`. Infinity: cannot be. */
export function priceOf(
  line: CountLine,
  at: number,
  value: number,
  next: number,
  out: { price: number; step: Step },
): void {
  const elapsed = line.at[next]! - at;
  const nextValue = line.value[next]!;
  const forced = line.forced[next] === 1;
  out.step = 'forward';
  if (elapsed <= 0 && nextValue !== value) {
    out.price = Infinity;
    return;
  }
  const most = mostCycles(line, elapsed);
  if (nextValue >= value) {
    const cycles = nextValue - value;
    if (cycles <= most || forced) out.price = inLine(line, cycles, elapsed, FAR_OFF) ? 0 : PRICE.outOfLine;
    else {
      out.price = PRICE.unlikelyReset;
      out.step = 'reset';
    }
    return;
  }
  const fromZero = nextValue <= most && inLine(line, nextValue, elapsed, FALL_FAR_OFF);
  out.price = fromZero ? PRICE.reset : PRICE.unlikelyReset;
  out.step = 'reset';
  const modulus = modulusOf(line, value, nextValue, elapsed);
  if (modulus === null) return;
  const cycles = modulus - value + nextValue;
  if (cycles > most) return;
  const known = line.modulus === null ? PRICE.guessedRollover : PRICE.knownRollover;
  const price = inLine(line, cycles, elapsed, FALL_FAR_OFF) ? known : PRICE.unlikelyRollover;
  if (price >= out.price) return;
  out.price = price;
  out.step = 'rollover';
}

/**
 * The cheapest explanation of a counter's readings: which of them lie on its line, and where it rolled over
 * or began anew. Shortest path over the readings, each looking back at most eight; a look back stops as soon
 * as no earlier reading can be cheaper, so a counter without troubles costs one comparison a reading. O(n).
 */
export function cheapestChain(line: CountLine): Chain {
  const { count } = line;
  const best = new Float64Array(count);
  const lowest = new Float64Array(count);
  const previous = new Int32Array(count);
  const steps: Step[] = new Array<Step>(count).fill('first');
  const trial: { price: number; step: Step } = { price: 0, step: 'first' };
  let leading = 0;
  for (let next = 0; next < count; next++) {
    let price = leading;
    let from = -1;
    let step: Step = 'first';
    if (line.fitted !== null && leading < Infinity) {
      priceOf(line, line.fitted.at, line.fitted.value, next, trial);
      price += trial.price;
      step = trial.step;
    }
    let skipped = 0;
    for (let before = next - 1; before >= 0 && before >= next - LOOK_BACK; before--) {
      if (lowest[before]! + skipped >= price) break;
      priceOf(line, line.at[before]!, line.value[before]!, next, trial);
      const total = best[before]! + skipped + trial.price;
      if (total < price) {
        price = total;
        from = before;
        step = trial.step;
      }
      if (line.forced[before] === 1) break;
      skipped += PRICE.aside;
    }
    best[next] = price;
    lowest[next] = next > 0 ? Math.min(lowest[next - 1]!, price) : price;
    previous[next] = from;
    steps[next] = step;
    leading += line.forced[next] === 1 ? Infinity : PRICE.asideAtEnd;
  }
  return traced(line, best, previous, steps, leading);
}

/** Finds the cheapest end and walks back. `noneUsed` is the price of using no reading at all. */
function traced(line: CountLine, best: Float64Array, previous: Int32Array, steps: Step[], noneUsed: number): Chain {
  let end = -1;
  let cheapest = line.fitted === null ? Infinity : noneUsed;
  let trailing = 0;
  for (let index = line.count - 1; index >= 0; index--) {
    // Of two values of one instant one is wrong anyway; the later is not held against the earlier.
    const twin = index + 1 < line.count && line.at[index + 1] === line.at[index];
    const price = best[index]! + (twin ? trailing - PRICE.asideAtEnd + PRICE.aside : trailing);
    if (price <= cheapest) {
      cheapest = price;
      end = index;
    }
    if (line.forced[index] === 1) break;
    trailing += PRICE.asideAtEnd;
  }
  const chain: Chain = { positions: [], steps: [] };
  for (let index = end; index >= 0; index = previous[index]!) {
    chain.positions.push(index);
    chain.steps.push(steps[index]!);
  }
  chain.positions.reverse();
  chain.steps.reverse();
  return chain;
}

/** Sets the median rate of the rises that the door can have made. O(n log n). */
export function learnRate(line: CountLine): void {
  const rates = new Float64Array(line.count);
  let found = 0;
  for (let index = 1; index < line.count; index++) {
    const elapsed = line.at[index]! - line.at[index - 1]!;
    const cycles = line.value[index]! - line.value[index - 1]!;
    if (elapsed > 0 && cycles > 0 && cycles <= mostCycles(line, elapsed)) rates[found++] = cycles / elapsed;
  }
  line.rises = found;
  line.rate = found === 0 ? 0 : rates.subarray(0, found).sort()[found >> 1]!;
}
