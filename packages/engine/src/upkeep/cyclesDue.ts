import { daysUntil, HORIZON_DAYS } from '../duty/index.js';
import type { DutyModel } from '../duty/index.js';
import { civilDateAt } from './civilDateAt.js';
import type { CivilDate, TaskBasis } from './types.js';

const DAY_MS = 86_400_000;

/**
 * The date at the site on which the cycles since the basis reach the interval: the P10 date of the duty
 * forecast for a safety task (one chance in ten that it is earlier), the P50 date for others; null if not
 * within HORIZON_DAYS.
 *
 * If they have been reached by the model's `asOf`, the date lies in the past and must stay there, or the task
 * would never be overdue: it is then found on the straight line from the basis to `asOf`.
 */
export function cyclesDue(
  interval: number,
  safety: boolean,
  basis: TaskBasis,
  basisMs: number,
  duty: DutyModel,
  timeZone: string,
): { due: CivilDate; cyclesToGo: number } | null {
  const cyclesToGo = basis.lifetimeCycles + interval - duty.lifetimeCycles;
  let dueMs: number;
  if (cyclesToGo > 0) {
    const days = daysUntil(duty, cyclesToGo)[safety ? 'p10' : 'p50'];
    if (days >= HORIZON_DAYS) return null;
    dueMs = duty.asOf + days * DAY_MS;
  } else {
    const share = interval / (duty.lifetimeCycles - basis.lifetimeCycles);
    dueMs = duty.asOf - (1 - share) * Math.max(0, duty.asOf - basisMs);
  }
  const due = civilDateAt(dueMs, timeZone);
  // A model older than the basis, or the basis's own midnight, must not make a task due before it was last
  // done.
  return { due: due < basis.on ? basis.on : due, cyclesToGo };
}
