import { kaplanMeier } from './kaplanMeier.js';
import type { Lives } from './lives.js';

/**
 * Bénard's approximation to the median rank of the `rank`-th of `count` failures (Bénard & Bos-Levenbach 1953).
 */
export function medianRank(rank: number, count: number): number {
  return (rank - 0.3) / (count + 0.4);
}

/** A failure on a probability plot: its age, and the share that had failed by then. */
export interface PlottedFailure {
  age: number;
  share: number;
}

/**
 * Where to plot the failures on probability paper: median ranks, adjusted for suspensions as Johnson does (each
 * failure moves the rank on by the count left over the lives still at risk plus one; ranks are real numbers
 * then). At a tie the last of the failures is plotted. At most `most` points, evenly picked, first and last
 * always among them. O(n log n).
 * @throws RangeError as `checkLives`.
 */
export function plottingPositions(lives: Lives, most = 500): PlottedFailure[] {
  const steps = kaplanMeier(lives);
  const count = lives.weight ? lives.weight.reduce((sum, weight) => sum + weight, 0) : lives.age.length;
  const points: PlottedFailure[] = [];
  let left = 1;
  for (let i = 0; i < steps.age.length; i++) {
    for (let failure = 0; failure < steps.failed[i]!; failure++) {
      const atRisk = steps.atRisk[i]! - failure;
      left *= atRisk / (atRisk + 1);
    }
    points.push({ age: steps.age[i]!, share: medianRank((count + 1) * (1 - left), count) });
  }
  if (points.length <= most) return points;
  return Array.from({ length: most }, (_, k) => points[Math.round((k * (points.length - 1)) / (most - 1))]!);
}
