import type { ReactNode } from 'react';
import { paint, paintOf, palette } from '../palette.js';
import { ConditionShape, StateShape, VerdictShape, conditionColours, stateColours } from './shapes.js';
import { asCondition, asState, asVerdict, conditionWords, stateWords, verdictMeanings, verdictWords } from './words.js';

interface MarkProps {
  shape: ReactNode;
  word: string;
  colour: string;
  strong: boolean;
  title?: string | undefined;
}

/** A word with its shape before it; what all marks are made of. */
export function Mark({ shape, word, colour, strong, title }: MarkProps) {
  return (
    <span
      title={title}
      style={{ display: 'inline-flex', alignItems: 'center', gap: '0.4em', whiteSpace: 'nowrap', color: paintOf(colour), fontWeight: strong ? 700 : 500 }}
    >
      <svg width="1em" height="1em" viewBox="0 0 16 16" aria-hidden="true" style={{ flex: 'none' }}>
        {shape}
      </svg>
      <span>{word}</span>
    </span>
  );
}

/** Condition of a part or door: shape, word and colour. */
export function ConditionMark({ condition }: { condition: string | null | undefined }) {
  const word = asCondition(condition);
  return (
    <Mark
      shape={<ConditionShape condition={word} />}
      word={conditionWords[word]}
      colour={conditionColours[word]}
      strong={word === 'worn'}
    />
  );
}

/** State of a door: shape, word and colour. */
export function StateMark({ state }: { state: string }) {
  const word = asState(state);
  return (
    <Mark shape={<StateShape state={word} />} word={stateWords[word]} colour={stateColours[word]} strong={word === 'out-of-service'} />
  );
}

/** Verdict on a reading: shape, word and colour; its meaning as the title. */
export function VerdictMark({ verdict }: { verdict: string }) {
  const word = asVerdict(verdict);
  const used = word.startsWith('used');
  const colour = used ? palette.ice : word === 'pending' ? palette.slateSoft : palette.dusk;
  return (
    <Mark shape={<VerdictShape verdict={word} />} word={verdictWords[word]} colour={colour} strong={false} title={verdictMeanings[word]} />
  );
}

/** A safety matter: the same shield everywhere. */
export function SafetyMark({ word = 'safety inspection', urgent = false }: { word?: string; urgent?: boolean }) {
  const colour = urgent ? palette.signal : palette.ink;
  return (
    <Mark
      shape={
        <g>
          <path d="M8 0.8 14.4 3v5.2c0 3.6-2.6 5.8-6.4 7.2C4.2 14 1.6 11.8 1.6 8.2V3Z" fill={paintOf(colour)} />
          <path d="M4.8 8 7.2 10.4 11.4 5.8" fill="none" stroke={paint.paper} strokeWidth={1.8} />
        </g>
      }
      word={word}
      colour={colour}
      strong={urgent}
    />
  );
}
