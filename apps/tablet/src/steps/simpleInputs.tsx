import { useState } from 'react';
import type { StepInputProps } from './types.js';

export function ConfirmInput({ step, onAnswer }: StepInputProps<'confirm'>) {
  return (
    <div className="answers">
      <button type="button" className="button first huge" onClick={() => void onAnswer({ kind: 'confirm', confirmed: true })}>
        {step.caution ? 'Done: confirmed' : 'Yes'}
      </button>
      {step.caution ? null : (
        <button type="button" className="button huge" onClick={() => void onAnswer({ kind: 'confirm', confirmed: false })}>No</button>
      )}
    </div>
  );
}

export function ChooseInput({ step, value, onAnswer }: StepInputProps<'choose'>) {
  return (
    <div className="answers" role="group" aria-label={step.text}>
      {step.options.map((option) => (
        <button key={option} type="button" className="button huge" aria-pressed={value?.choice === option}
          onClick={() => void onAnswer({ kind: 'choose', choice: option })}>
          {option}{step.failing?.includes(option) ? <small>fails the check</small> : null}
        </button>
      ))}
    </div>
  );
}

export function TestInput({ onAnswer }: StepInputProps<'test-device'>) {
  return (
    <div className="answers">
      <button type="button" className="button first huge" onClick={() => void onAnswer({ kind: 'test-device', passed: true })}>
        <svg viewBox="0 0 16 16" aria-hidden="true"><path d="M2 8.6 6.2 12.6 14 3.8" fill="none" stroke="currentColor" strokeWidth={2.2} /></svg>Works
      </button>
      <button type="button" className="button huge failing" onClick={() => void onAnswer({ kind: 'test-device', passed: false })}>
        <svg viewBox="0 0 16 16" aria-hidden="true"><path d="M3 3l10 10M13 3 3 13" fill="none" stroke="currentColor" strokeWidth={2.2} /></svg>Does not work
      </button>
    </div>
  );
}

export function TextInput({ step, value, onAnswer }: StepInputProps<'text'>) {
  const [text, setText] = useState(value?.text ?? '');
  return (
    <form className="entry" onSubmit={(event) => { event.preventDefault(); void onAnswer({ kind: 'text', text }); }}>
      <label>What you write down<textarea rows={5} value={text} aria-label={step.text} onChange={(event) => setText(event.target.value)} /></label>
      <button type="submit" className="button first">Keep it</button>
    </form>
  );
}
