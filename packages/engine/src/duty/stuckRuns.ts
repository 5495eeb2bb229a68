import type { Chain, CountLine } from './countLine.js';
import { DAY_MS } from './days.js';

/**
 * A counter is called stuck when it shows one value this often, this long, while the typical rate makes this
 * many cycles.
 */
const MIN_READINGS = 3;
const MIN_DAYS = 7;
const MIN_CYCLES = 30;

/**
 * Takes the readings of a stuck counter out of a chain: the first of the run stays. `stuck` gets their
 * positions; `stoodStill` tells, per reading left in the chain, for how long (milliseconds) the counter had
 * stood when the reading before it was followed by this one. A planner's 'use' says that the door did stand
 * still, and ends a run. O(n).
 */
export function withoutStuck(
  line: CountLine,
  chain: Chain,
): { chain: Chain; stuck: number[]; stoodStill: Float64Array } {
  const { positions, steps } = chain;
  const kept: Chain = { positions: [], steps: [] };
  const stuck: number[] = [];
  const stoodStill = new Float64Array(positions.length);
  let index = 0;
  while (index < positions.length) {
    const first = positions[index]!;
    kept.positions.push(first);
    kept.steps.push(steps[index]!);
    let end = index + 1;
    while (
      end < positions.length &&
      line.value[positions[end]!] === line.value[first] &&
      steps[end] === 'forward' &&
      line.forced[positions[end]!] === 0
    ) {
      end += 1;
    }
    const standing = line.at[positions[end - 1]!]! - line.at[first]!;
    if (end - index >= MIN_READINGS && standing >= MIN_DAYS * DAY_MS && standing * line.rate >= MIN_CYCLES) {
      for (let run = index + 1; run < end; run++) stuck.push(positions[run]!);
      stoodStill[kept.positions.length] = standing;
      index = end;
    } else {
      index += 1;
      while (index < end) {
        kept.positions.push(positions[index]!);
        kept.steps.push(steps[index]!);
        index += 1;
      }
    }
  }
  return { chain: kept, stuck, stoodStill };
}
