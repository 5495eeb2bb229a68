import { checkLives } from './lives.js';
import type { Lives } from './lives.js';

/** Steps of a survival curve, at each age with a failure, in order. Arrays of one length. */
export interface SurvivalSteps {
  age: Float64Array;
  /** Lives under observation just before the age, and those that failed at it (weights). */
  atRisk: Float64Array;
  failed: Float64Array;
  /**
   * Share that lives beyond the age, and its standard error by Greenwood's formula (0 where no one is left).
   */
  survival: Float64Array;
  error: Float64Array;
}

/**
 * The survival curve without any law: product limit of Kaplan & Meier (1958). A failure and a suspension at one
 * age count as if the failure came first; a life is at risk from just after its entry. With late entries the
 * risk set may be small or run empty at the low end, and the curve is that of parts which lived to the first
 * age at risk. O(n log n).
 * @throws RangeError as `checkLives`.
 */
export function kaplanMeier(lives: Lives): SurvivalSteps {
  checkLives(lives);
  const { age, event, entry, weight } = lives;
  // A life that leaves at its age of entry was never at risk.
  const rows = Uint32Array.from(age.keys()).filter((i) => age[i]! > (entry ? entry[i]! : 0));
  const byAge = rows.slice().sort((i, j) => age[i]! - age[j]!);
  const byEntry = entry ? rows.sort((i, j) => entry[i]! - entry[j]!) : rows;
  const steps: Record<keyof SurvivalSteps, number[]> = {
    age: [],
    atRisk: [],
    failed: [],
    survival: [],
    error: [],
  };
  let entered = 0;
  let inside = 0;
  let survival = 1;
  let greenwood = 0;
  for (let k = 0; k < byAge.length;) {
    const at = age[byAge[k]!]!;
    for (; entered < byEntry.length && (entry ? entry[byEntry[entered]!]! : 0) < at; entered++) {
      inside += weight ? weight[byEntry[entered]!]! : 1;
    }
    let failed = 0;
    let leaving = 0;
    for (; k < byAge.length && age[byAge[k]!] === at; k++) {
      const i = byAge[k]!;
      leaving += weight ? weight[i]! : 1;
      if (event[i] === 1) failed += weight ? weight[i]! : 1;
    }
    if (failed > 0) {
      survival *= failed < inside ? 1 - failed / inside : 0;
      greenwood += failed < inside ? failed / (inside * (inside - failed)) : 0;
      steps.age.push(at);
      steps.atRisk.push(inside);
      steps.failed.push(failed);
      steps.survival.push(survival);
      steps.error.push(survival * Math.sqrt(greenwood));
    }
    inside -= leaving;
  }
  return {
    age: Float64Array.from(steps.age),
    atRisk: Float64Array.from(steps.atRisk),
    failed: Float64Array.from(steps.failed),
    survival: Float64Array.from(steps.survival),
    error: Float64Array.from(steps.error),
  };
}
