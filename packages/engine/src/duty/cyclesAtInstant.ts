import type { CycleHistory, DutyModel } from './types.js';

/**
 * Lifetime cycles of a door at an instant `at` (milliseconds), on the straight line between what is known on either side:
 * the readings, the fitting of the first counter if its count is known, and the door's first day (`firstDayMs`, 0 cycles).
 * After the last reading the line runs to what the model carries on to its `asOf`; from there on that is the answer.
 * Not rounded; at least 0; never falls as `at` grows. O(log readings).
 * @throws RangeError if `at` or `firstDayMs` is not a finite number.
 */
export function cyclesAtInstant(history: CycleHistory, model: DutyModel, firstDayMs: number, at: number): number {
  if (!Number.isFinite(at)) throw new RangeError('at must be a finite number of milliseconds');
  if (!Number.isFinite(firstDayMs)) throw new RangeError('firstDayMs must be a finite number of milliseconds');
  if (at >= model.asOf) return model.lifetimeCycles;
  const next = firstAfter(history.at, at);
  const usable = next < history.at.length && history.at[next]! <= model.asOf;
  const afterAt = usable ? history.at[next]! : model.asOf;
  const afterCycles = usable ? history.cycles[next]! : model.lifetimeCycles;
  if (next > 0) return between(history.at[next - 1]!, history.cycles[next - 1]!, afterAt, afterCycles, at);
  const { start } = history;
  if (start !== undefined && start.at < afterAt) {
    if (at >= start.at) return between(start.at, start.cycles, afterAt, afterCycles, at);
    return at <= firstDayMs ? 0 : between(firstDayMs, 0, start.at, start.cycles, at);
  }
  return at <= firstDayMs ? 0 : between(firstDayMs, 0, afterAt, afterCycles, at);
}

/** Index of the first instant after `at`. */
function firstAfter(instants: Float64Array, at: number): number {
  let low = 0;
  let high = instants.length;
  while (low < high) {
    const middle = (low + high) >> 1;
    if (instants[middle]! <= at) low = middle + 1;
    else high = middle;
  }
  return low;
}

function between(fromAt: number, fromCycles: number, toAt: number, toCycles: number, at: number): number {
  if (!(toAt > fromAt)) return fromCycles;
  return fromCycles + ((toCycles - fromCycles) * (at - fromAt)) / (toAt - fromAt);
}
