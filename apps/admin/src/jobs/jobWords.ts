import { jobNames } from '@lintel/contract';
import type { RunState } from '@lintel/contract';

/** Jobs with words of their own; a new one shows its code's words until it has some. */
const words: Partial<Record<string, string>> = {
  'project-company': 'Compute the whole fleet',
  'project-door': 'Compute one door',
  'refit-pool': 'Learn from the lives of a kind of part',
  'check-ledger': 'Check the seals of the ledger',
  'plan-routes': 'Plan routes',
  'import-file': 'Read a file in',
  'sweep-inspections': 'Sweep for overdue safety inspections',
};

export const jobChoices = jobNames.map((name) => ({ id: name, name: jobWord(name) }));

export const runStateWords: Record<RunState, string> = {
  waiting: 'waiting',
  running: 'running',
  done: 'done',
  failed: 'failed',
  cancelled: 'cancelled',
};

export function jobWord(job: string): string {
  return words[job] ?? job.replaceAll('-', ' ');
}
