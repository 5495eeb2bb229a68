import type { DeviceDoor } from '@lintel/contract';
import { unwrap } from '@lintel/engine';
import { count, formatInstant, formatWhole, verdictMeanings } from '@lintel/ui';
import { useState } from 'react';
import { type StepInputProps, typedCount } from './types.js';

export function CounterInput({ view, step, value, onAnswer }: StepInputProps<'read-counter'>) {
  const [typed, setTyped] = useState(value ? String(value.value) : '');
  const entered = typedCount(typed);
  const [now] = useState(Date.now);
  const counter = view.door?.counters.find(({ fitted }) => fitted);
  const hint = view.door && counter && Number.isFinite(entered) ? counterHint(view.door, counter, entered, now) : null;
  return (
    <form className="entry" onSubmit={(event) => { event.preventDefault(); void onAnswer({ kind: 'read-counter', value: entered }); }}>
      <label>
        What the counter shows
        <span className="with-unit">
          <input className="figure" inputMode="numeric" autoComplete="off" value={typed} onChange={(event) => setTyped(event.target.value)} aria-label={step.text} />
          <b>cycles</b>
        </span>
      </label>
      <p className="hint">
        {counter?.lastValue == null ? 'No reading of this counter is known here.' : `Last: ${formatWhole(counter.lastValue)}${counter.lastReadingAt ? ` on ${formatInstant(counter.lastReadingAt, view.order.timeZone)}` : ''}.`}
      </p>
      {hint ? <p className={hint.odd ? 'warning' : 'hint'} role="status">{hint.text}</p> : null}
      <button type="submit" className="button first">Keep it</button>
    </form>
  );
}

/** Whether a value fits the one before it, by the same rules by which the server will judge it. It is a hint: the counter is right. */
export function counterHint(
  door: Pick<DeviceDoor, 'doorType'>,
  counter: DeviceDoor['counters'][number],
  value: number,
  now: number,
): { odd: boolean; text: string } | null {
  const { lastValue, lastReadingAt } = counter;
  if (lastValue === null || lastReadingAt === null) return null;
  const before = Date.parse(lastReadingAt);
  if (!(before < now)) return null;
  const span = { from: Math.min(before, Date.parse(counter.fittedAt)), to: null, modulus: counter.modulus, startCycles: null, startValue: null };
  const { verdicts } = unwrap([{ at: before, value: lastValue }, { at: now, value }], [span], door.doorType);
  const verdict = verdicts.find((one) => one !== 'used') ?? 'used';
  if (verdict !== 'used' || value < lastValue) return { odd: true, text: `Look again at every digit. ${verdictMeanings[verdict]}` };
  const days = Math.max(1, Math.round((now - before) / 86_400_000));
  const since = value - lastValue;
  return { odd: false, text: `${count(since, 'cycle')} since then, about ${formatWhole(Math.round(since / days))} a day.` };
}
