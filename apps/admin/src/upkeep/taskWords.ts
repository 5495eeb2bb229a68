import type { Task } from '@lintel/contract';
import { count, formatDate, formatWhole } from '@lintel/ui';

/** How often a task comes, as a phrase. */
export function intervalWords(task: Pick<Task, 'intervalCycles' | 'intervalMonths' | 'anchor' | 'fixedFrom'>): string {
  const months = task.intervalMonths === null ? null : `every ${count(task.intervalMonths, 'month').replace(/^1 /, '')}`;
  const cycles = task.intervalCycles === null ? null : `every ${formatWhole(task.intervalCycles)} cycles`;
  const fixed = task.anchor === 'fixed' && task.fixedFrom ? `, counted from ${formatDate(task.fixedFrom)}` : '';
  if (months && cycles) return `${months}${fixed} or ${cycles}, whichever comes first`;
  return `${months ?? cycles ?? 'no interval'}${months ? fixed : ''}`;
}
