import type { RepairHistory } from './types.js';

/**
 * @throws RangeError naming unit (from 1) and field, unless ends are above 0 and events above 0 and not beyond
 * the end.
 */
export function checkHistories(histories: readonly RepairHistory[]): void {
  histories.forEach(({ events, end }, i) => {
    if (!(end > 0 && end < Infinity)) throw new RangeError(`end of unit ${i + 1} must be above 0, not ${end}`);
    for (const at of events) {
      if (!(at > 0 && at <= end))
        throw new RangeError(`events of unit ${i + 1} must be above 0 and up to its end, not ${at}`);
    }
  });
}
