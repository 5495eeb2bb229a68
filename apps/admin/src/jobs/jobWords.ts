import type { JobName, RunState } from '@lintel/contract';

export const jobWords: Record<JobName, string> = {
  'project-company': 'Compute the whole fleet',
  'project-door': 'Compute one door',
  'import-file': 'Read a file in',
  'sweep-inspections': 'Sweep for overdue safety inspections',
};

export const runStateWords: Record<RunState, string> = {
  waiting: 'waiting',
  running: 'running',
  done: 'done',
  failed: 'failed',
  cancelled: 'cancelled',
};

export function jobWord(job: string): string {
  return job in jobWords ? jobWords[job as JobName] : job.replaceAll('-', ' ');
}
