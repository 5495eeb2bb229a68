import type { FindingSeverity, StepKind, StepOutcome, WorkCommandName, WorkKind, WorkState } from '@lintel/engine';

/** Words of work orders as people read them. The keys are the words of the wire. */
export const workStateWords: Record<WorkState, string> = {
  planned: 'planned',
  released: 'released',
  started: 'under way',
  completed: 'completed',
  reviewed: 'reviewed',
  cancelled: 'cancelled',
};

export const workKindWords: Record<WorkKind, string> = {
  preventive: 'Maintenance',
  inspection: 'Safety inspection',
  corrective: 'Repair',
  commissioning: 'Commissioning',
};

export const severityWords: Record<FindingSeverity, string> = { note: 'note', defect: 'defect', unsafe: 'unsafe' };

/** What a severity means, as a sentence. */
export const severityMeanings: Record<FindingSeverity, string> = {
  note: 'Worth knowing; nothing has to be done.',
  defect: 'Has to be mended; a repair is ordered.',
  unsafe: 'The door is taken out of service at once, until a further order has tested it again and passed.',
};

export const outcomeWords: Record<StepOutcome, string> = { passed: 'passed', failed: 'failed', recorded: 'recorded' };

export const stepKindWords: Record<StepKind, string> = {
  confirm: 'Confirm',
  measure: 'Measure',
  choose: 'Choose',
  photograph: 'Photograph',
  'read-counter': 'Read the counter',
  'test-device': 'Test the device',
  'force-test': 'Measure the closing force',
  'fit-part': 'Fit a part',
  text: 'Write down',
};

/** What a command does, to be read after 'cannot be'. */
export const commandPast: Record<WorkCommandName | 'change' | 'record-time' | 'use-part' | 'sign', string> = {
  release: 'released',
  start: 'started',
  answer: 'answered',
  report: 'given a finding',
  complete: 'completed',
  review: 'reviewed',
  cancel: 'cancelled',
  change: 'changed',
  'record-time': 'given labour time',
  'use-part': 'given parts',
  sign: 'signed',
};
