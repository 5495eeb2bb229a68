import { asideVerdict } from './asideVerdict.js';
import { cheapestChain, learnRate } from './countLine.js';
import type { CountLine } from './countLine.js';
import { DAY_MS } from './days.js';
import { incrementsOf } from './lifetimeCycles.js';
import { counterAt, orderOf } from './readingOrder.js';
import { withoutStuck } from './stuckRuns.js';
import type { CounterSpan, RawReading, Unwrapped, Verdict } from './types.js';

export interface UnwrapOptions {
  /** Shortest time that a full cycle of the door can take, seconds. */
  minCycleSeconds: number;
  /**
   * Modulus of counters that do not name their own; left out: a fall from just under a power of ten is a
   * likely rollover.
   */
  modulus?: number;
}

/** The lifetime cycles as they grow from counter to counter. */
interface Lifetime {
  at: number[];
  cycles: number[];
  estimated: number[];
}

/**
 * What became of every reading, and how many cycles has the door made in its life?
 *
 * The readings of each counter are explained in the cheapest way (see cheapestChain): most lie on a rising
 * line; some are set aside; where the value falls the counter rolled over or began anew. Successive counters
 * follow each other by what is known of their fitting. A planner's overrule is obeyed: 'use' is used whatever
 * the rules say, unless another value of the same instant is, or it is no value of this counter; 'set-aside'
 * is set aside.
 *
 * `readings` in any order, not changed; the verdicts come in their order, and their order changes nothing
 * else. Without `counters` one counter of unknown modulus is taken. The first counter, if its start is not
 * known, counts from the door's first day; a later one goes on where the one before it ended, the gap
 * estimated. A counter that rolls over more than once between two readings cannot be told from one that did
 * so once. O(n log n).
 * @throws RangeError naming the reading and field that is not a finite number of at least 0, or names no counter.
 */
export function unwrap(
  readings: readonly RawReading[],
  counters: readonly CounterSpan[],
  options: UnwrapOptions,
): Unwrapped {
  if (!(options.minCycleSeconds > 0 && options.minCycleSeconds < Infinity)) {
    throw new RangeError('minCycleSeconds must be above 0');
  }
  const counterOf = readings.map((reading, index) => counterAt(reading, index, counters));
  const order = orderOf(readings, counterOf);
  const verdicts: Verdict[] = new Array<Verdict>(readings.length).fill('used');
  const lifetime: Lifetime = { at: [], cycles: [], estimated: [] };
  let start: { at: number; cycles: number } | undefined;
  for (let low = 0; low < order.length; ) {
    const counter = counterOf[order[low]!]!;
    let high = low + 1;
    while (high < order.length && counterOf[order[high]!] === counter) high += 1;
    const span = counters[counter] ?? UNKNOWN_COUNTER;
    const { line, source } = lineOf(readings, order.subarray(low, high), span, options, verdicts);
    const begun = lifetime.at.length > 0;
    if (line.count > 0) append(line, source, span, verdicts, lifetime);
    if (!begun && lifetime.at.length > 0 && span.startCycles !== null && lifetime.at[0]! > span.from) {
      start = { at: span.from, cycles: span.startCycles };
    }
    low = high;
  }
  const history = {
    at: new Float64Array(lifetime.at),
    cycles: new Float64Array(lifetime.cycles),
    estimated: new Uint8Array(lifetime.estimated),
  };
  return { verdicts, history: start === undefined ? history : { ...history, start } };
}

const UNKNOWN_COUNTER: CounterSpan = { from: -Infinity, to: null, modulus: null, startCycles: null, startValue: null };

/** The readings of one counter that its line must explain; the others get their verdict here. */
function lineOf(
  readings: readonly RawReading[],
  order: Uint32Array,
  span: CounterSpan,
  options: UnwrapOptions,
  verdicts: Verdict[],
): { line: CountLine; source: Uint32Array } {
  const size = order.length;
  const line: CountLine = {
    count: 0,
    at: new Float64Array(size),
    value: new Float64Array(size),
    forced: new Uint8Array(size),
    fitted: null,
    modulus: span.modulus ?? options.modulus ?? null,
    cycleMs: options.minCycleSeconds * 1000,
    rate: 0,
    rises: 0,
  };
  const source = new Uint32Array(size);
  let forcedAt = NaN;
  for (const index of order) {
    const { at, value, overruled } = readings[index]!;
    const last = line.count - 1;
    if (overruled === 'set-aside') verdicts[index] = 'set-aside';
    else if (last >= 0 && line.at[last] === at && line.value[last] === value) verdicts[index] = 'duplicate';
    else if (line.modulus !== null && value >= line.modulus) verdicts[index] = 'mistyped';
    else {
      // Two values of one instant cannot both be used, not even by overrule.
      const forced = overruled === 'use' && forcedAt !== at;
      if (forced) forcedAt = at;
      line.at[line.count] = at;
      line.value[line.count] = value;
      line.forced[line.count] = forced ? 1 : 0;
      source[line.count++] = index;
    }
  }
  learnRate(line);
  const known = span.startCycles !== null || span.startValue !== null;
  if (known && line.count > 0 && span.from > -Infinity && span.from < line.at[0]!) {
    line.fitted = { at: span.from, value: span.startValue ?? 0 };
  }
  return { line, source };
}

/** Gives the verdicts of one counter's readings and adds its used ones to the lifetime. */
function append(
  line: CountLine,
  source: Uint32Array,
  span: CounterSpan,
  verdicts: Verdict[],
  lifetime: Lifetime,
): void {
  const whole = cheapestChain(line);
  judgeAsides(line, whole.positions, source, verdicts);
  const { chain, stuck, stoodStill } = withoutStuck(line, whole);
  for (const position of stuck) verdicts[source[position]!] = 'stuck';
  const { positions, steps } = chain;
  if (positions.length === 0) return;
  const { cycles, estimated } = incrementsOf(line, chain, stoodStill);
  const first = firstCycles(line, positions[0]!, span, lifetime, cycles[0]!);
  let total = first.cycles;
  for (let index = 0; index < positions.length; index++) {
    if (index > 0) total += cycles[index]!;
    const step = steps[index]!;
    const position = positions[index]!;
    const guessed = estimated[index] === 1 || (index === 0 && first.estimated);
    lifetime.at.push(line.at[position]!);
    lifetime.cycles.push(total);
    lifetime.estimated.push(guessed ? 1 : 0);
    const newCount = step === 'reset' || (index === 0 && first.newCount);
    verdicts[source[position]!] = newCount ? 'used-reset' : step === 'rollover' ? 'used-rollover' : 'used';
  }
}

/** Lifetime cycles at the first used reading of a counter. */
function firstCycles(
  line: CountLine,
  position: number,
  span: CounterSpan,
  lifetime: Lifetime,
  sinceFitting: number,
) {
  const at = line.at[position]!;
  const value = line.value[position]!;
  const shown = line.fitted === null ? value - (span.startValue ?? 0) : sinceFitting;
  const before = lifetime.at.length - 1;
  if (before < 0) return { cycles: Math.max(0, (span.startCycles ?? 0) + shown), estimated: false, newCount: false };
  const reached = lifetime.cycles[before]!;
  const elapsed = at - lifetime.at[before]!;
  if (span.startCycles !== null) {
    // The books may say less than the readings have shown; a door never loses cycles.
    const cycles = Math.max(reached, span.startCycles + shown);
    return { cycles, estimated: cycles - reached > elapsed / line.cycleMs + 1, newCount: false };
  }
  const rate = rateAtEnd(lifetime) || line.rate;
  const sinceFrom = at - Math.max(span.from, lifetime.at[before]!);
  const gap = rate * Math.max(0, elapsed - sinceFrom);
  // Without a word about its start the new counter is taken to have begun at 0, unless it shows too much for that.
  const plausible = shown >= 0 && (line.fitted !== null || shown <= 3 * rate * (sinceFrom + DAY_MS));
  return { cycles: reached + Math.round(plausible ? gap + shown : rate * elapsed), estimated: true, newCount: true };
}

/** Cycles a millisecond over the last dozen steps that were counted; 0: none. */
function rateAtEnd(lifetime: Lifetime): number {
  let cycles = 0;
  let time = 0;
  for (let index = lifetime.at.length - 1; index > 0 && index > lifetime.at.length - 13; index--) {
    if (lifetime.estimated[index] === 1) continue;
    cycles += lifetime.cycles[index]! - lifetime.cycles[index - 1]!;
    time += lifetime.at[index]! - lifetime.at[index - 1]!;
  }
  return time > 0 ? cycles / time : 0;
}

function judgeAsides(line: CountLine, positions: readonly number[], source: Uint32Array, verdicts: Verdict[]): void {
  let next = 0;
  let lowestUsed = Infinity;
  for (let position = 0; position < line.count; position++) {
    if (positions[next] === position) {
      // A fall on the line is a new count or a rollover: values before it belong to no earlier time of this
      // count.
      if (next === 0 || line.value[position]! < line.value[positions[next - 1]!]!) lowestUsed = line.value[position]!;
      next += 1;
      continue;
    }
    const before = positions[next - 1] ?? -1;
    const after = positions[next] ?? -1;
    verdicts[source[position]!] = asideVerdict(line, position, before, after, lowestUsed);
  }
}
