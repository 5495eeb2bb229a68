import type { Dice } from './dice.js';
import { DAY_MS, type DoorHistory } from './doorHistory.js';
import type { Trouble } from './troubles.js';

const MONTH_DAYS = 30.4;

export interface DemoTask {
  id: string;
  safety: boolean;
  intervalCycles: number | null;
  intervalMonths: number | null;
}

/** When one task was done on a door, latest first. */
export function completionsOf(
  dice: Dice,
  history: DoorHistory,
  task: DemoTask,
  trouble: Trouble | null,
  regimeMonths: number | null,
): number[] {
  const months = Math.min(task.intervalMonths ?? Infinity, task.safety ? (regimeMonths ?? Infinity) : Infinity);
  const periodDays = Math.min(months * MONTH_DAYS, (task.intervalCycles ?? Infinity) / (1.3 * history.cyclesPerDay));
  const late = task.safety ? trouble === 'overdue-inspection' : dice.chance(0.05);
  const agoDays = periodDays * (late ? dice.between(1.1, 1.5) : dice.between(0.03, 0.93));
  const found: number[] = [];
  const first = Math.max(history.from, history.installedAt);
  for (let at = history.now - agoDays * DAY_MS; at > first; at -= periodDays * dice.between(0.85, 1) * DAY_MS) {
    // In working hours, to the minute.
    found.push(Math.floor(at / DAY_MS) * DAY_MS + dice.whole(420, 900) * 60_000);
  }
  return found.filter((at) => at < history.now);
}
