import type { Chain, CountLine } from './countLine.js';
import { modulusOf, mostCycles } from './countLine.js';

/** Steps on either side of a gap from which the rate across it is taken. */
const NEIGHBOURS = 12;

/**
 * Cycles since the reading before (or the fitting), per used reading of one counter; 1 in `estimated` where
 * guessed.
 */
export interface Increments {
  cycles: Float64Array;
  estimated: Uint8Array;
}

/**
 * Cycles between the used readings of one counter. Over a reset the rate of the neighbouring steps is taken,
 * or what the new count shows if that is more and possible. A counter that stuck and is released either shows
 * about what the door has made (it had only stopped showing) or has lost what the door made while it stood;
 * then that is estimated and added. O(n).
 */
export function incrementsOf(line: CountLine, chain: Chain, stoodStill: Float64Array): Increments {
  const count = chain.positions.length;
  const cycles = new Float64Array(count);
  const estimated = new Uint8Array(count);
  // Running sums of the trusted steps, for rates over any stretch of them.
  const sums = new Float64Array(count + 1);
  const times = new Float64Array(count + 1);
  const elapsedAt = new Float64Array(count);
  for (let index = 0; index < count; index++) {
    const { at, value } = predecessor(line, chain, index);
    const position = chain.positions[index]!;
    const elapsed = line.at[position]! - at;
    elapsedAt[index] = elapsed;
    const step = chain.steps[index]!;
    if (step === 'first') cycles[index] = 0;
    else if (step === 'reset') estimated[index] = 1;
    else {
      cycles[index] = line.value[position]! - value;
      if (step === 'rollover') cycles[index]! += modulusOf(line, value, line.value[position]!, elapsed)!;
      if (stoodStill[index]! > 0) estimated[index] = 1;
    }
    const trusted = estimated[index] === 0 && step !== 'first';
    sums[index + 1] = sums[index]! + (trusted ? cycles[index]! : 0);
    times[index + 1] = times[index]! + (trusted ? elapsed : 0);
  }
  for (let index = 0; index < count; index++) {
    if (estimated[index] === 0) continue;
    const low = Math.max(0, index - NEIGHBOURS);
    const high = Math.min(count, index + 1 + NEIGHBOURS);
    const time = times[high]! - times[low]!;
    const rate = time > 0 ? (sums[high]! - sums[low]!) / time : 0;
    if (chain.steps[index] === 'reset') {
      const value = line.value[chain.positions[index]!]!;
      const fell = value < predecessor(line, chain, index).value;
      const shown = fell && value <= mostCycles(line, elapsedAt[index]!) ? value : 0;
      cycles[index] = Math.max(Math.round(rate * elapsedAt[index]!), shown);
    } else if (cycles[index]! < 0.5 * rate * elapsedAt[index]!) {
      cycles[index]! += Math.round(rate * stoodStill[index]!);
    } else {
      estimated[index] = 0;
    }
  }
  return { cycles, estimated };
}

function predecessor(line: CountLine, chain: Chain, index: number): { at: number; value: number } {
  const position = chain.positions[index]!;
  if (index > 0) {
    const before = chain.positions[index - 1]!;
    return { at: line.at[before]!, value: line.value[before]! };
  }
  return line.fitted ?? { at: line.at[position]!, value: line.value[position]! };
}
