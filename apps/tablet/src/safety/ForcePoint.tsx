import { forceFigures, forceLimitsAt, type MeasuringPoint, type PointReading } from '@lintel/engine';
import { formatWhole, refusalSentence } from '@lintel/ui';
import { useState } from 'react';
import { Refusal } from '../shell/faces.js';
import type { StepOf } from '../steps/types.js';
import { ForceCurveChart } from './ForceCurveChart.js';
import { figuresOf, noFigures, typedAt, type TypedFigures, withReading } from './forceDraft.js';
import { acrossWords } from './ForceGrid.js';

const fields: readonly { name: keyof TypedFigures; word: string; unit: string }[] = [
  { name: 'peak', word: 'Peak force', unit: 'N' },
  { name: 'duration', word: 'Dynamic time', unit: 'ms' },
  { name: 'still', word: 'Static force', unit: 'N' },
  { name: 'residual', word: 'Residual force', unit: 'N' },
];

/** Readings at one point: typed as the gauge shows them, or as its file. */
export function ForcePoint({ point, step, readings, onReadings }: {
  point: MeasuringPoint; step: StepOf<'force-test'>; readings: readonly PointReading[]; onReadings: (readings: readonly PointReading[]) => void;
}) {
  const [typed, setTyped] = useState<TypedFigures>(noFigures);
  const [said, setSaid] = useState<string | null>(null);
  const limits = forceLimitsAt({ gapMm: point.heightMm, movement: 'vertical', position: 'closing-edge' }, step.limits);
  if ('refused' in limits) return <Refusal>{refusalSentence(limits.refused, limits.facts)}</Refusal>;
  const here = readings.filter(({ heightMm, across }) => heightMm === point.heightMm && across === point.across);

  function add(reading: PointReading): void {
    const next = withReading(readings, reading, step.opening, step.limits);
    if ('refused' in next) {
      setSaid(refusalSentence(next.refused, next.facts as Parameters<typeof refusalSentence>[1]));
      return;
    }
    setTyped(noFigures);
    setSaid(null);
    onReadings(next);
  }

  function addTyped(): void {
    const figures = figuresOf(typed);
    if ('missing' in figures) setSaid(`The ${figures.missing} must be a number, zero or more.`);
    else add(typedAt(point, figures));
  }

  async function addFile(file: File | undefined): Promise<void> {
    if (!file) return;
    const { readForceFile } = await import('./readFile.js');
    const read = readForceFile(await file.text());
    if ('message' in read) return setSaid(`${file.name}, line ${read.line}: ${read.message}.`);
    const figures = forceFigures(read.curve, step.limits);
    if ('refused' in figures) return setSaid(refusalSentence(figures.refused, figures.facts));
    add({ heightMm: point.heightMm, across: point.across, figures: figures.figures, shortfalls: figures.shortfalls, curve: read.curve });
  }

  return (
    <section className="card" aria-label={`Readings at ${point.heightMm} mm, ${acrossWords[point.across]}`}>
      <h2>{point.heightMm} mm over the floor, {acrossWords[point.across]} ({formatWhole(point.fromLeftMm)} mm from the left)</h2>
      <p className="hint">At most {limits.peakNewton} N peak, {limits.dynamicMs} ms, {limits.staticNewton} N static, {limits.residualNewton} N residual. {limits.rows[0]?.source}: confirm against the standard.</p>
      <Readings here={here} onRemove={(reading) => onReadings(readings.filter((one) => one !== reading))} />
      {here.map(({ curve }, at) => curve ? <Curve key={at} curve={curve} step={step} limits={limits} /> : null)}
      <form className="figures" onSubmit={(event) => { event.preventDefault(); addTyped(); }}>
        {fields.map(({ name, word, unit }) => (
          <label key={name}>{word}, {unit}
            <input inputMode="decimal" autoComplete="off" value={typed[name]} onChange={(event) => setTyped({ ...typed, [name]: event.target.value })} />
          </label>
        ))}
        <button type="submit" className="button">Add this reading</button>
        <label className="button file">From the gauge’s file<input type="file" accept=".csv,text/csv" aria-label="File of the gauge, ms and newton"
          onChange={(event) => { void addFile(event.target.files?.[0]); event.target.value = ''; }} /></label>
      </form>
      <Refusal>{said}</Refusal>
    </section>
  );
}

function Readings({ here, onRemove }: { here: readonly PointReading[]; onRemove: (reading: PointReading) => void }) {
  if (here.length === 0) return null;
  return (
    <ul className="rows">
      {here.map((reading, at) => (
        <li key={at} className="row">
          <span className="row-main">
            {at + 1}. {formatWhole(reading.figures.peakNewton)} N peak, {formatWhole(reading.figures.dynamicMs)} ms, {formatWhole(reading.figures.staticNewton)} N static, {formatWhole(reading.figures.residualNewton)} N residual
            {reading.shortfalls.length > 0 ? <small className="signal">lacks evidence: {reading.shortfalls.map(({ code }) => code.replaceAll('-', ' ')).join(', ')}</small> : null}
          </span>
          <button type="button" className="button" aria-label={`Take reading ${at + 1} away`} onClick={() => onRemove(reading)}>Take away</button>
        </li>
      ))}
    </ul>
  );
}

function Curve({ curve, step, limits }: { curve: NonNullable<PointReading['curve']>; step: StepOf<'force-test'>; limits: Parameters<typeof ForceCurveChart>[0]['limits'] }) {
  const read = forceFigures(curve, step.limits);
  return 'refused' in read ? null : <ForceCurveChart curve={curve} limits={limits} marks={read.marks} />;
}
