import { measureUnit, onScale } from '@lintel/ui';
import { useState } from 'react';
import { type StepInputProps, typedNumber } from './types.js';

const figure = (value: number): string => value.toLocaleString('en', { maximumFractionDigits: 6 });

/** A measured value in the reader's unit; what is kept is in the step's own, on the scale of its instrument. */
export function MeasureInput({ step, value, units, onAnswer }: StepInputProps<'measure'>) {
  const { unit, shown, stored, converted } = measureUnit(step.unit, units);
  const [typed, setTyped] = useState(value ? String(shown(value.value)) : '');
  const entered = typedNumber(typed);
  // What was typed in the step's own unit goes in as it is, so that a finer value than the instrument shows is refused, not rounded.
  const kept = converted ? onScale(stored(entered), step.resolution) : entered;
  const { lower, upper, resolution } = step;
  const bounds = [lower === undefined ? null : `at least ${figure(shown(lower))}`, upper === undefined ? null : `at most ${figure(shown(upper))}`];
  const outside = (lower !== undefined && kept < lower) || (upper !== undefined && kept > upper);
  return (
    <form className="entry" onSubmit={(event) => { event.preventDefault(); void onAnswer({ kind: 'measure', value: kept, unit: step.unit }); }}>
      <label>
        Measured value, {unit || 'no unit'}
        <span className="with-unit">
          <input className="figure" inputMode="decimal" autoComplete="off" value={typed} onChange={(event) => setTyped(event.target.value)} />
          <b>{unit}</b>
        </span>
      </label>
      <p className="hint">
        {bounds.some(Boolean) ? `Limits: ${bounds.filter(Boolean).join(', ')} ${unit}. ` : 'No limits. '}
        {resolution === undefined || converted ? '' : `The instrument shows steps of ${figure(resolution)} ${unit}. `}
        {converted && Number.isFinite(kept) ? `Kept as ${figure(kept)} ${step.unit}. ` : ''}
      </p>
      {Number.isFinite(kept) && outside ? <p className="warning" role="status">Outside the limits: this step will not pass.</p> : null}
      <button type="submit" className="button first">Keep it</button>
    </form>
  );
}
