import { checkLives } from './lives.js';
import type { Lives } from './lives.js';

/** Weighted logarithms of ages. */
export interface Points {
  logAge: Float64Array;
  weight: Float64Array;
}

/**
 * All that a likelihood needs of the lives: the logarithms of the ages at failure, at suspension and at entry.
 * Many lives are condensed to at most 8,192 points each; see `condense`.
 */
export interface LifePoints {
  failed: Points;
  suspended: Points;
  entered: Points;
  /** Sums of weights. */
  failures: number;
  suspensions: number;
  /** Weighted sum of the logarithms of the ages at failure, exact. */
  sumLogFailed: number;
  /** Largest logarithm of an age at failure or suspension; −Infinity without lives. */
  latest: number;
}

/** Below this many ages every one keeps its own point. */
const CONDENSE_ABOVE = 20_000;
const BINS = 4096;

/** Splits lives by what they say. O(lives). @throws RangeError as `checkLives`. */
export function lifePoints(lives: Lives): LifePoints {
  checkLives(lives);
  const { age, event, entry, weight } = lives;
  const failed = gather(age, weight, age.length, (i) => event[i] === 1);
  const suspended = gather(age, weight, age.length, (i) => event[i] === 0 && age[i]! > 0);
  const entered = entry
    ? gather(entry, weight, age.length, (i) => entry[i]! > 0)
    : { logAge: new Float64Array(0), weight: new Float64Array(0) };
  let failures = 0;
  let sumLogFailed = 0;
  let latest = -Infinity;
  for (let i = 0; i < failed.logAge.length; i++) {
    failures += failed.weight[i]!;
    sumLogFailed += failed.weight[i]! * failed.logAge[i]!;
    if (failed.logAge[i]! > latest) latest = failed.logAge[i]!;
  }
  for (let i = 0; i < suspended.logAge.length; i++)
    if (suspended.logAge[i]! > latest) latest = suspended.logAge[i]!;
  let suspensions = 0;
  for (let i = 0; i < age.length; i++) if (event[i] === 0) suspensions += weight ? weight[i]! : 1;
  return {
    failed: condense(failed),
    suspended: condense(suspended),
    entered: condense(entered),
    failures,
    suspensions,
    sumLogFailed,
    latest,
  };
}

function gather(
  ages: Float64Array,
  weights: Float64Array | undefined,
  rows: number,
  belongs: (i: number) => boolean,
): Points {
  let count = 0;
  for (let i = 0; i < rows; i++) if (belongs(i) && (!weights || weights[i]! > 0)) count++;
  const logAge = new Float64Array(count);
  const weight = new Float64Array(count);
  for (let i = 0, k = 0; i < rows; i++) {
    if (!belongs(i) || (weights && weights[i] === 0)) continue;
    logAge[k] = Math.log(ages[i]!);
    weight[k++] = weights ? weights[i]! : 1;
  }
  return { logAge, weight };
}

/**
 * Many points to few: each of 4,096 even bins of the logarithm becomes two points of the bin's own weight, mean
 * and variance. A likelihood sees the points through smooth functions of the logarithm only, so that what is
 * lost is of the order of the cube of a bin's width (0.003 where ages span five powers of ten): a relative 1e-8
 * or less of any sum, tested.
 */
function condense(points: Points): Points {
  const { logAge, weight } = points;
  if (logAge.length <= CONDENSE_ABOVE) return points;
  let low = Infinity;
  let high = -Infinity;
  for (let i = 0; i < logAge.length; i++) {
    if (logAge[i]! < low) low = logAge[i]!;
    if (logAge[i]! > high) high = logAge[i]!;
  }
  const width = (high - low) / BINS || 1;
  const total = new Float64Array(BINS);
  const first = new Float64Array(BINS);
  const second = new Float64Array(BINS);
  for (let i = 0; i < logAge.length; i++) {
    const bin = Math.min(BINS - 1, Math.floor((logAge[i]! - low) / width));
    const off = logAge[i]! - (low + (bin + 0.5) * width);
    total[bin]! += weight[i]!;
    first[bin]! += weight[i]! * off;
    second[bin]! += weight[i]! * off * off;
  }
  const filled = total.reduce((count, sum) => count + (sum > 0 ? 1 : 0), 0);
  const few: Points = { logAge: new Float64Array(2 * filled), weight: new Float64Array(2 * filled) };
  for (let bin = 0, k = 0; bin < BINS; bin++) {
    const sum = total[bin]!;
    if (sum === 0) continue;
    const mean = first[bin]! / sum;
    const spread = Math.sqrt(Math.max(0, second[bin]! / sum - mean * mean));
    for (const side of [-spread, spread]) {
      few.logAge[k] = low + (bin + 0.5) * width + mean + side;
      few.weight[k++] = sum / 2;
    }
  }
  return few;
}
