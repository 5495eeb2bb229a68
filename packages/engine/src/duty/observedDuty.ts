import { DAY_MS } from './days.js';
import type { CycleHistory } from './types.js';

/**
 * What a door's own readings say of its rate, as evidence for its peers: cycles and days between the first and the last
 * used reading within the `windowDays` before `asOf` (milliseconds). Cycles that were estimated, and the days in which they
 * were made, are left out: a guess is no evidence. Days 0: no evidence. O(readings).
 */
export function observedDuty(history: CycleHistory, asOf: number, windowDays: number): { cycles: number; days: number } {
  const from = asOf - windowDays * DAY_MS;
  let cycles = 0;
  let elapsed = 0;
  let beforeAt = history.start?.at ?? NaN;
  let beforeCycles = history.start?.cycles ?? NaN;
  for (let index = 0; index < history.at.length; index++) {
    const at = history.at[index]!;
    if (at > asOf) break;
    if (beforeAt >= from && history.estimated[index] === 0) {
      cycles += history.cycles[index]! - beforeCycles;
      elapsed += at - beforeAt;
    }
    beforeAt = at;
    beforeCycles = history.cycles[index]!;
  }
  return { cycles: Math.max(0, cycles), days: elapsed / DAY_MS };
}
