import { checkGauge, forceFigures, type ForceLimitTable, type ForceRefusal, judgeForceTest, type PointReading, type Refusal } from '../safety/index.js';
import type { StepAnswer, StepKind, StepOutcome, StepValue, WorkStep } from './steps.js';

/** Longest text of a step or a remark, characters. */
export const MOST_TEXT = 4000;
/** A value typed in decimals is a multiple of a decimal resolution only up to rounding. */
const ROUNDING = 1e-6;

export type StepRefusalCode =
  | 'other-kind'
  | 'caution-not-confirmed'
  | 'remark-needed'
  | 'not-a-number'
  | 'other-unit'
  | 'finer-than-resolution'
  | 'not-an-option'
  | 'too-few-photographs'
  | 'photograph-twice'
  | 'not-a-count'
  | 'curve-not-usable'
  | 'beyond-modulus'
  | 'gauge-not-usable'
  | 'readings-missing'
  | 'not-a-point'
  | 'opening-too-small'
  | 'nothing-done'
  | 'reason-needed'
  | 'empty'
  | 'too-long'
  | ForceRefusal['refused'];
export type StepRefusal = Refusal<StepRefusalCode>;

type Of<Union, Kind> = Extract<Union, { kind: Kind }>;
type StepCheck<Kind extends StepKind> = (
  step: Of<WorkStep, Kind>,
  answer: Of<StepAnswer, Kind>,
) => Of<StepValue, Kind> | StepRefusal;

/**
 * The value that an answer gives a step, with its outcome against the step's own limits; or why it cannot be one. An answer
 * that is a refusal leaves the step as it was. O(size of the answer).
 * @returns a value, or a refusal whose facts name the step and what was expected.
 * @throws RangeError for a force test whose date, or whose gauge's date of calibration, is none.
 */
export function checkStep(step: WorkStep, answer: StepAnswer): StepValue | StepRefusal {
  if (answer.kind !== step.kind) return refused('other-kind', { stepId: step.id, kind: answer.kind, expected: step.kind });
  const remark = answer.remark?.trim() ?? '';
  if (remark.length > MOST_TEXT) return refused('too-long', { stepId: step.id, characters: remark.length, most: MOST_TEXT });
  // The kinds are equal, which the compiler cannot see of two unions.
  const value = (checks[step.kind] as (step: WorkStep, answer: StepAnswer) => StepValue | StepRefusal)(step, answer);
  if ('refused' in value) return { ...value, facts: { stepId: step.id, ...value.facts } };
  const mustExplain = value.outcome === 'failed' && (value.kind === 'confirm' || value.kind === 'test-device');
  if (mustExplain && remark === '') return refused('remark-needed', { stepId: step.id });
  return remark === '' ? value : { ...value, remark };
}

const checks: { [Kind in StepKind]: StepCheck<Kind> } = {
  confirm(step, { confirmed }) {
    if (step.caution && !confirmed) return refused('caution-not-confirmed');
    return { kind: 'confirm', outcome: confirmed ? 'passed' : 'failed', confirmed };
  },

  measure({ unit, lower, upper, resolution }, answer) {
    const { value } = answer;
    if (!Number.isFinite(value)) return refused('not-a-number', { value });
    if (answer.unit !== unit) return refused('other-unit', { unit: answer.unit, expected: unit });
    if (resolution !== undefined && Math.abs(value / resolution - Math.round(value / resolution)) > ROUNDING) {
      return refused('finer-than-resolution', { value, resolution, unit });
    }
    let outcome: StepOutcome = 'recorded';
    if (lower !== undefined || upper !== undefined) {
      outcome = value >= (lower ?? -Infinity) && value <= (upper ?? Infinity) ? 'passed' : 'failed';
    }
    return { kind: 'measure', outcome, value, unit };
  },

  choose({ options, failing }, { choice }) {
    if (!options.includes(choice)) return refused('not-an-option', { choice, options });
    const outcome = failing === undefined ? 'recorded' : failing.includes(choice) ? 'failed' : 'passed';
    return { kind: 'choose', outcome, choice };
  },

  photograph({ least = 1 }, { photoIds }) {
    if (new Set(photoIds).size !== photoIds.length) return refused('photograph-twice');
    if (photoIds.length < least) return refused('too-few-photographs', { photographs: photoIds.length, least });
    return { kind: 'photograph', outcome: 'recorded', photoIds };
  },

  'read-counter'({ modulus }, { value }) {
    if (!(Number.isSafeInteger(value) && value >= 0)) return refused('not-a-count', { value });
    if (modulus !== undefined && value >= modulus) return refused('beyond-modulus', { value, modulus });
    return { kind: 'read-counter', outcome: 'recorded', value };
  },

  'test-device'({ positionId }, { passed }) {
    return { kind: 'test-device', outcome: passed ? 'passed' : 'failed', positionId };
  },

  'force-test'({ opening, limits }, { readings: given, gauge, usedOn, instrumentId }) {
    const reasons = checkGauge(gauge, usedOn, limits).map(({ code }) => code);
    if (reasons.length > 0) return refused('gauge-not-usable', { reasons, usedOn });
    const readings = measured(given, limits);
    if (!Array.isArray(readings)) return readings;
    const verdict = judgeForceTest(opening, readings, limits);
    if ('refused' in verdict) return verdict;
    // A mean over its limit fails the door at once; only a test without one has to be complete.
    if (!verdict.passed && !verdict.failed) {
      return refused('readings-missing', { missing: verdict.readingsMissing, needed: verdict.readingsNeeded });
    }
    const outcome = verdict.passed ? 'passed' : 'failed';
    return { kind: 'force-test', outcome, verdict, readings, gauge, usedOn, ...(instrumentId !== undefined && { instrumentId }) };
  },

  'fit-part'({ positionId }, { removed, fitted }) {
    if (!removed && !fitted) return refused('nothing-done');
    if (removed && removed.reason.trim() === '') return refused('reason-needed');
    const age = fitted?.ageCycles;
    if (age !== undefined && !(Number.isSafeInteger(age) && age >= 0)) return refused('not-a-count', { value: age });
    return { kind: 'fit-part', outcome: 'recorded', positionId, ...(removed && { removed }), ...(fitted && { fitted }) };
  },

  text(_step, { text }) {
    const written = text.trim();
    if (written === '') return refused('empty');
    if (written.length > MOST_TEXT) return refused('too-long', { characters: written.length, most: MOST_TEXT });
    return { kind: 'text', outcome: 'recorded', text: written };
  },
};

/** A recorded curve says itself what its figures are, whatever came with it; the first one that does not is the reason against all. */
function measured(given: readonly PointReading[], limits: ForceLimitTable): PointReading[] | StepRefusal {
  const readings: PointReading[] = [];
  for (const reading of given) {
    const read = reading.curve && forceFigures(reading.curve, limits);
    if (read && 'refused' in read) {
      const { heightMm, across } = reading;
      return refused('curve-not-usable', { ...read.facts, why: read.refused, heightMm, across });
    }
    readings.push(read ? { ...reading, figures: read.figures, shortfalls: read.shortfalls } : reading);
  }
  return readings;
}

function refused(code: StepRefusalCode, facts: StepRefusal['facts'] = {}): StepRefusal {
  return { refused: code, facts };
}
