import { checkGauge, judgeForceTest, measuringPoints, type MeasuringPoint } from '@lintel/engine';
import { count, formatDate, gaugeFaults, refusalSentence } from '@lintel/ui';
import { useState } from 'react';
import { useDraft } from '../keep/drafts.js';
import { dateAt } from '../keep/read.js';
import { Refusal } from '../shell/faces.js';
import type { StepInputProps } from '../steps/types.js';
import { type ForceDraft, forceAnswer, type Instrument } from './forceDraft.js';
import { ForceGrid } from './ForceGrid.js';
import { ForcePoint } from './ForcePoint.js';

const none: ForceDraft = { instrumentId: null, readings: [] };

/** A whole closing force test: gauge, then every measuring point as often as the limits ask; the engine says what is missing. */
export function ForceInput(props: StepInputProps<'force-test'>) {
  const { draft, keep } = useDraft<ForceDraft>(props.draftKey);
  return draft === undefined ? null : <ForceTest {...props} draft={draft ?? begun(props.value)} keep={keep} />;
}

/** An answer given already is where a repeated test begins. */
function begun(value: StepInputProps<'force-test'>['value']): ForceDraft {
  return value?.readings ? { instrumentId: value.instrumentId ?? null, readings: value.readings } : none;
}

function ForceTest({ view, step, draft, keep, onAnswer }: StepInputProps<'force-test'> & { draft: ForceDraft; keep: (draft: ForceDraft) => Promise<void> }) {
  const [chosen, setChosen] = useState<MeasuringPoint | null>(null);
  const [said, setSaid] = useState<string | null>(null);
  const [now] = useState(Date.now);
  const usedOn = dateAt(view.order.timeZone, now);
  const points = measuringPoints(step.opening, step.limits);
  const verdict = judgeForceTest(step.opening, draft.readings, step.limits);
  if ('refused' in points) return <Refusal>{refusalSentence(points.refused, points.facts)}</Refusal>;
  if ('refused' in verdict) return <Refusal>{refusalSentence(verdict.refused, verdict.facts)}</Refusal>;
  const instrument = view.instruments.find(({ id }) => id === draft.instrumentId);
  const point = chosen ?? verdict.missing[0] ?? points[0]!;
  const save = (next: ForceDraft): void => {
    setSaid(null);
    keep(next).catch((error: Error) => setSaid(error.message));
  };
  return (
    <div className="entry force">
      <GaugeChoice instruments={view.instruments} draft={draft} usedOn={usedOn} step={step} onChoose={(instrumentId) => save({ ...draft, instrumentId })} />
      <p className="progress" role="status">
        {verdict.readingsMissing === 0 ? 'Every reading has been taken.' : `${count(verdict.readingsMissing, 'reading')} of ${verdict.readingsNeeded} still to take.`}
        {verdict.failed ? ' A point is over its limits or lacks evidence: the test has failed.' : ''}
        {verdict.passed ? ' Every point is within its limits.' : ''}
      </p>
      <ForceGrid points={points} verdict={verdict} needed={step.limits.rows.readings.value} chosen={point} onChoose={setChosen} />
      <ForcePoint key={`${point.heightMm}-${point.across}`} point={point} step={step} readings={draft.readings}
        onReadings={(readings) => {
          save({ ...draft, readings });
          // On to the next point once this one is full.
          const here = readings.filter(({ heightMm, across }) => heightMm === point.heightMm && across === point.across).length;
          setChosen(here >= step.limits.rows.readings.value ? null : point);
        }} />
      <Refusal>{said}</Refusal>
      <button type="button" className="button first" disabled={!verdict.passed && !verdict.failed && verdict.readingsMissing > 0}
        onClick={() => (instrument ? void onAnswer(forceAnswer(draft, instrument, usedOn)) : setSaid('Say first which gauge is used.'))}>
        {verdict.passed ? 'Keep it: passed' : verdict.failed ? 'Keep it: failed' : `Keep it (${count(verdict.readingsMissing, 'reading')} missing)`}
      </button>
    </div>
  );
}

/** The gauge, with what speaks against it on the day. */
function GaugeChoice({ instruments, draft, usedOn, step, onChoose }: {
  instruments: readonly Instrument[]; draft: ForceDraft; usedOn: string; step: StepInputProps<'force-test'>['step']; onChoose: (id: string) => void;
}) {
  if (instruments.length === 0) return <Refusal>No force gauge is on this device. The planner enters the company’s gauges with their calibration; then receive again.</Refusal>;
  return (
    <fieldset className="choice">
      <legend>Gauge</legend>
      {instruments.map(({ id, name, serial, gauge }) => {
        const faults = checkGauge(gauge, usedOn, step.limits);
        return (
          <button key={id} type="button" className="button tall" aria-pressed={draft.instrumentId === id} onClick={() => onChoose(id)}>
            <span>{name}{serial ? `, ${serial}` : ''}</span>
            <small>{gauge.calibratedOn ? `calibrated ${formatDate(gauge.calibratedOn)}` : 'calibration not known'}</small>
            {faults.length > 0 ? <small className="signal">may not be used: {faults.map(({ code }) => gaugeFaults[code]).join('; ')}</small> : null}
          </button>
        );
      })}
    </fieldset>
  );
}
