import type { Blocks } from './blocks.js';

/** Blocks on either side of a boundary that are compared. */
const WINDOW = 8;

/**
 * Squared standardised step from which a change counts as abrupt; beyond chance over some hundred boundaries
 * (5 sigma).
 */
const MIN_EVIDENCE = 25;

/** Relative step below which drift explains a change well enough. */
const MIN_STEP = 0.25;

/** Share of the blocks on either side that must lie on their own side of the middle. */
const MIN_AGREEMENT = 0.85;

/** Most changes looked for, and fewest blocks and days that must follow one. */
const MAX_CHANGES = 4;
const MIN_AFTER_BLOCKS = 2;
const MIN_AFTER_DAYS = 10;

/**
 * Noise of the blocks: variance of a day's cycles as far as it is not slow, from the median squared
 * difference of neighbours (a jump spoils one difference, not the median). Not below Poisson. O(n log n).
 */
export function noisePerDay(blocks: Blocks): number {
  const { count, cycles, days } = blocks;
  let total = 0;
  let length = 0;
  for (let index = 0; index < count; index++) {
    total += cycles[index]!;
    length += days[index]!;
  }
  const level = length > 0 ? Math.max(total / length, 1e-3) : 1e-3;
  if (count < 3) return level;
  const squares = new Float64Array(count - 1);
  for (let index = 1; index < count; index++) {
    const step = cycles[index]! / days[index]! - cycles[index - 1]! / days[index - 1]!;
    squares[index - 1] = (step * step) / (1 / days[index]! + 1 / days[index - 1]!);
  }
  squares.sort();
  const middle = (count - 1) >> 1;
  const median = count % 2 === 0 ? squares[middle]! : 0.5 * (squares[middle - 1]! + squares[middle]!);
  // The median of a chi-square of one degree of freedom is 0.4549.
  return Math.max(median / 0.4549, level);
}

/**
 * Boundaries at which the level changed abruptly: index of the first block of the new level, ascending. The
 * means of up to eight blocks on either side are compared; the strongest step first, then others at least a
 * window away. O(n).
 */
export function levelChanges(blocks: Blocks, noise: number): number[] {
  const { count, cycles, days, from } = blocks;
  if (count < 4) return [];
  const sums = new Float64Array(count + 1);
  const lengths = new Float64Array(count + 1);
  for (let index = 0; index < count; index++) {
    sums[index + 1] = sums[index]! + cycles[index]!;
    lengths[index + 1] = lengths[index]! + days[index]!;
  }
  const evidence = new Float64Array(count);
  let some = false;
  for (let cut = 2; cut <= count - MIN_AFTER_BLOCKS; cut++) {
    if (-from[cut]! < MIN_AFTER_DAYS) break;
    const low = Math.max(0, cut - WINDOW);
    const high = Math.min(count, cut + WINDOW);
    const before = lengths[cut]! - lengths[low]!;
    const after = lengths[high]! - lengths[cut]!;
    const meanBefore = (sums[cut]! - sums[low]!) / before;
    const meanAfter = (sums[high]! - sums[cut]!) / after;
    const step = meanAfter - meanBefore;
    if (Math.abs(step) < MIN_STEP * Math.max(meanBefore, meanAfter)) continue;
    const score = (step * step) / (noise * (1 / before + 1 / after));
    if (score < MIN_EVIDENCE || !agreed(blocks, low, cut, high, 0.5 * (meanBefore + meanAfter))) continue;
    evidence[cut] = score;
    some = true;
  }
  return some ? peaks(evidence) : [];
}

/**
 * Whether nearly all blocks lie on their own side of the middle: one wrong reading must not pass for a new
 * level.
 */
function agreed(blocks: Blocks, low: number, cut: number, high: number, middle: number): boolean {
  let sidesBefore = 0;
  let sidesAfter = 0;
  for (let index = low; index < cut; index++) {
    sidesBefore += Math.sign(blocks.cycles[index]! / blocks.days[index]! - middle);
  }
  for (let index = cut; index < high; index++) {
    sidesAfter += Math.sign(blocks.cycles[index]! / blocks.days[index]! - middle);
  }
  const most = 2 * MIN_AGREEMENT - 1;
  return (
    sidesBefore * sidesAfter < 0 &&
    Math.abs(sidesBefore) >= most * (cut - low) &&
    Math.abs(sidesAfter) >= most * (high - cut)
  );
}

function peaks(evidence: Float64Array): number[] {
  const found: number[] = [];
  while (found.length < MAX_CHANGES) {
    let best = 0;
    for (let cut = 1; cut < evidence.length; cut++) if (evidence[cut]! > evidence[best]!) best = cut;
    if (evidence[best] === 0) break;
    found.push(best);
    evidence.fill(0, Math.max(0, best - WINDOW), best + WINDOW);
  }
  return found.sort((a, b) => a - b);
}
