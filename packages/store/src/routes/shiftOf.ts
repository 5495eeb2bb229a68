import { zeroOf } from './localTime.js';
import type { KeptProblem } from './planTypes.js';

/** A slot of a technician's day, by when its work begins. */
interface Begun {
  technicianId: string;
  on: string;
  startAt: string;
}

/**
 * Which shift of a plan a visit belongs to. Somebody may have two on one day; they do not overlap, and no visit begins outside its own.
 * @returns -1 where the plan has no such day.
 */
export function shiftOf({ problem, shiftDays }: Pick<KeptProblem, 'problem' | 'shiftDays'>, fromOn: string, { technicianId, on, startAt }: Begun): number {
  const minutes = (Date.parse(startAt) - zeroOf(fromOn)) / 60_000;
  const shifts = problem.technicians.find(({ id }) => id === technicianId)?.shifts ?? [];
  const days = shiftDays.find((one) => one.technicianId === technicianId)?.days ?? [];
  const ofDay = days.flatMap((day, shift) => (day === on ? [shift] : []));
  // The last that has begun by then: shifts of a day are in their order.
  return ofDay.findLast((shift) => shifts[shift]!.from <= minutes) ?? ofDay[0] ?? -1;
}
