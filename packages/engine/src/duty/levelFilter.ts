import type { Blocks } from './blocks.js';

/** What the filter knows of the level at the last reading. */
export interface Level {
  level: number;
  variance: number;
  driftVariancePerDay: number;
  /** Variance of a day's count, counting and clustering, without drift. */
  noisePerDay: number;
}

/**
 * Relative drift variances tried (1/day): monthly changes of the level of about 0.2 to 14 %. Between them the
 * data choose, by likelihood, under a prior that is widest about 2 % a month. Common practice, no source.
 */
const DRIFTS = [1e-7, 4e-7, 1.6e-6, 6e-6, 2e-5, 6e-5, 1.8e-4, 6e-4];
const TYPICAL_DRIFT = 1.5e-5;
const LOG_DRIFT_SPREAD = 2;

/**
 * Over-dispersion of a door's days before its own are seen, and how many blocks' worth it counts. Common
 * practice, no source.
 */
const USUAL_DISPERSION = 8;
const DISPERSION_WEIGHT = 3;

/**
 * A day's standard deviation is at most this many times its mean; what sparse readings show beyond that is no
 * day's noise.
 */
const MOST_DAY_SPREAD = 1.5;

/**
 * Standard deviations from which a block counts for less; the first of a new level may well be far from what
 * was thought.
 */
const OUTLIER = 5;
const FRESH_OUTLIER = 8;

/**
 * The level of the duty at the last reading: a local-level model (random walk seen through noise; Harvey
 * 1989, ch. 4), filtered by Kalman's recursion from the peers' prior. The ratio of drift to noise is not
 * settled on one value but summed over a grid by its posterior weight, so that the width of the answer
 * carries the doubt about it; the noise follows from each ratio. After each of `changes` (block indices) the
 * level starts anew. O(blocks × 8).
 */
export function filterLevel(
  blocks: Blocks,
  changes: readonly number[],
  start: { mean: number; variance: number },
  seenNoise: number,
): Level {
  const typical = typicalLevel(blocks, start.mean);
  const usualNoise = USUAL_DISPERSION * typical;
  const mostNoise = Math.max(usualNoise, (MOST_DAY_SPREAD * typical) ** 2);
  const steps = Math.max(0, blocks.count - 1);
  const roughNoise = (DISPERSION_WEIGHT * usualNoise + steps * seenNoise) / (DISPERSION_WEIGHT + steps);
  const size = DRIFTS.length;
  const means = new Float64Array(size);
  const variances = new Float64Array(size);
  const drifts = new Float64Array(size);
  const noises = new Float64Array(size);
  const weights = new Float64Array(size);
  let top = -Infinity;
  for (let index = 0; index < size; index++) {
    const ratio = (DRIFTS[index]! * typical * typical) / roughNoise;
    const run = pass(blocks, changes, start, ratio, { typical, roughNoise });
    const squares = DISPERSION_WEIGHT * usualNoise + run.squares;
    const noise = Math.min(Math.max(squares / (DISPERSION_WEIGHT + run.seen), typical), mostNoise);
    const drift = ratio * noise;
    const off = Math.log(drift / (TYPICAL_DRIFT * typical * typical)) / LOG_DRIFT_SPREAD;
    const score = -0.5 * ((DISPERSION_WEIGHT + run.seen) * Math.log(noise) + squares / noise + run.logs + off * off);
    means[index] = run.mean;
    variances[index] = run.variance * noise;
    drifts[index] = drift;
    noises[index] = noise;
    weights[index] = score;
    if (score > top) top = score;
  }
  let sum = 0;
  for (let index = 0; index < size; index++) sum += weights[index] = Math.exp(weights[index]! - top);
  const answer = { level: 0, variance: 0, driftVariancePerDay: 0, noisePerDay: 0 };
  for (let index = 0; index < size; index++) {
    const weight = weights[index]! / sum;
    answer.level += weight * means[index]!;
    answer.variance += weight * variances[index]!;
    answer.driftVariancePerDay += weight * drifts[index]!;
    answer.noisePerDay += weight * noises[index]!;
  }
  for (let index = 0; index < size; index++) {
    answer.variance += (weights[index]! / sum) * (means[index]! - answer.level) ** 2;
  }
  return answer;
}

/** One run of the filter, everything in units of the noise; ends at the last reading (day 0). */
function pass(
  blocks: Blocks,
  changes: readonly number[],
  start: { mean: number; variance: number },
  ratio: number,
  { typical, roughNoise }: { typical: number; roughNoise: number },
) {
  const { count, from, to, cycles, days } = blocks;
  let mean = start.mean;
  let variance = start.variance / roughNoise;
  let squares = 0;
  let logs = 0;
  let seen = 0;
  let next = 0;
  let before = count > 0 ? 0.5 * (from[0]! + to[0]!) : 0;
  for (let index = 0; index < count; index++) {
    const middle = 0.5 * (from[index]! + to[index]!);
    variance += ratio * (middle - before);
    before = middle;
    const fresh = index === 0 || changes[next] === index;
    if (changes[next] === index) {
      next += 1;
      // As wide as the level itself: after an abrupt change the door is nearly a new one.
      variance += Math.max(mean * mean, typical * typical) / roughNoise;
    }
    // Average of a random walk over the block about its middle: a twelfth of the drift across it.
    const noise = 1 / days[index]! + (ratio * days[index]!) / 12;
    const error = cycles[index]! / days[index]! - mean;
    let spread = variance + noise;
    spread *= outlierFactor(error, spread * roughNoise, fresh ? FRESH_OUTLIER : OUTLIER);
    if (!fresh) {
      // The first block of a level tells how this door differs from its peers, or from its past, and nothing
      // of the noise.
      squares += (error * error) / spread;
      logs += Math.log(spread);
      seen += 1;
    }
    const gain = variance / spread;
    mean += gain * error;
    variance = gain * (spread - variance);
  }
  return { mean, variance: variance - ratio * before, squares, logs, seen };
}

/**
 * How much wider the spread of a block is made that lies more than `limit` deviations off: it may be wrong,
 * not new.
 */
function outlierFactor(error: number, variance: number, limit: number): number {
  return Math.max(1, (error * error) / (limit * limit * variance));
}

/**
 * Mean level over the newest blocks (about a quarter), for scale only; the prior's mean if there are none.
 */
function typicalLevel(blocks: Blocks, fallback: number): number {
  let cycles = 0;
  let days = 0;
  for (let index = blocks.count - 1; index >= 0 && days < 90; index--) {
    cycles += blocks.cycles[index]!;
    days += blocks.days[index]!;
  }
  return Math.max(days > 0 ? cycles / days : fallback, 1e-3);
}
