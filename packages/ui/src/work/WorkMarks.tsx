import type { FindingSeverity, StepOutcome, WorkState } from '@lintel/engine';
import { Mark } from '../marks/Mark.js';
import { OutcomeShape, SeverityShape, WorkStateShape, outcomeColours, severityColours, workStateColours } from './workShapes.js';
import { outcomeWords, severityMeanings, severityWords, workStateWords } from './workWords.js';

/** State of a work order: shape, word and colour. */
export function WorkStateMark({ state }: { state: WorkState }) {
  return <Mark shape={<WorkStateShape state={state} />} word={workStateWords[state]} colour={workStateColours[state]} strong={state === 'started'} />;
}

/** How bad a finding is: shape, word and colour; its meaning as the title. */
export function SeverityMark({ severity }: { severity: FindingSeverity }) {
  return (
    <Mark
      shape={<SeverityShape severity={severity} />}
      word={severityWords[severity]}
      colour={severityColours[severity]}
      strong={severity === 'unsafe'}
      title={severityMeanings[severity]}
    />
  );
}

/** Outcome of a step, or of a whole order with `word` saying so: shape, word and colour. */
export function OutcomeMark({ outcome, word }: { outcome: StepOutcome; word?: string }) {
  return <Mark shape={<OutcomeShape outcome={outcome} />} word={word ?? outcomeWords[outcome]} colour={outcomeColours[outcome]} strong={outcome === 'failed'} />;
}
