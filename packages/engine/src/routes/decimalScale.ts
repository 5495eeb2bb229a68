import type { RouteProblem } from './types.js';

const SCALES = [1, 10, 100, 1000];
const LARGEST_EXACT = 2 ** 45;

/**
 * The factor that makes every time of a problem a whole number, 1 when there is none up to 1,000. Scaled times add up
 * exactly, so that a stop reached at 10.1 + 32.2 is not late by a rounding error for a window that closes at 42.3.
 * O(places² + stops + shifts).
 */
export function decimalScale(problem: RouteProblem): number {
  return SCALES.find((scale) => everyTime(problem, (value) => isWhole(value * scale))) ?? 1;
}

function isWhole(value: number): boolean {
  return Math.abs(value) < LARGEST_EXACT && Math.abs(value - Math.round(value)) <= 1e-9 * Math.max(1, Math.abs(value));
}

function everyTime(problem: RouteProblem, test: (value: number) => boolean): boolean {
  return (
    problem.travelMinutes.every((row) => row.every(test)) &&
    problem.technicians.every(({ shifts }) => shifts.every(({ from, to }) => test(from) && test(to))) &&
    problem.stops.every(
      (stop) =>
        test(stop.minutes) &&
        stop.windows.every(({ from, to }) => test(from) && test(to)) &&
        (!stop.latePrice || test(stop.latePrice.after)),
    )
  );
}
