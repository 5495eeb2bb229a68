import { checklistFaults, checklistStep, taskCreate } from '@lintel/contract';
import type { WholeWorkOrder, WorkAnswerRow } from '@lintel/contract';
import { checkStep, defaultForceLimits, typedReading } from '@lintel/engine';
import type { StepAnswer, StepValue, WorkStep } from '@lintel/engine';
import { describe, expect, it } from 'vitest';
import { checklistErrors, stepFields, tidyStep } from '../../apps/admin/src/upkeep/stepFields.js';
import { keptWords } from '../../apps/admin/src/work/keptWords.js';
import { byHandOrTask } from '../../apps/admin/src/work/OrderForms.js';
import { answerOf, positionOutcomes, stepNumbers, stepStates } from '../../apps/admin/src/work/steps.js';
import { addDays, dayWords, mondayOf } from '../../apps/admin/src/work/week.js';

const opening = { widthMm: 3000, heightMm: 3000 };
const steps: WorkStep[] = [
  { id: 'caution', kind: 'confirm', text: 'Isolated', caution: true },
  { id: 'beam', kind: 'test-device', text: 'Beam', positionId: 'p1', device: 'light-beam' },
  { id: 'beam2', kind: 'test-device', text: 'Beam, other side', positionId: 'p1', device: 'light-beam' },
  { id: 'chain', kind: 'fit-part', text: 'Chain', positionId: 'p2' },
  { id: 'gap', kind: 'measure', text: 'Gap', unit: 'mm', lower: 2, upper: 8 },
  { id: 'state', kind: 'choose', text: 'State', options: ['good', 'bad'], failing: ['bad'] },
  { id: 'count', kind: 'read-counter', text: 'Counter' },
  { id: 'photo', kind: 'photograph', text: 'Photograph' },
  { id: 'note', kind: 'text', text: 'Note' },
  { id: 'force', kind: 'force-test', text: 'Force', opening, limits: defaultForceLimits },
];

let serial = 0;
function answered(stepId: string, value: StepValue, more: Partial<WorkAnswerRow> = {}): WorkAnswerRow {
  serial += 1;
  return { id: `a${serial}`, stepId, value, baseId: null, settlesId: null, counts: true, accountId: 'x', accountName: 'X', at: '2026-01-01T00:00:00Z', deviceAt: null, ...more };
}
const order = (answers: WorkAnswerRow[], conflicts: WholeWorkOrder['conflicts'] = []) => ({ steps, answers, conflicts });
const works: StepValue = { kind: 'test-device', outcome: 'passed', positionId: 'p1' };
const fails: StepValue = { kind: 'test-device', outcome: 'failed', positionId: 'p1', remark: 'dead' };

describe('the steps of an order', () => {
  it('hold the last answer that counts; one that contradicts it stands beside it, earlier ones behind it', () => {
    const first = answered('beam', fails);
    const second = answered('beam', works);
    const other = answered('beam', fails, { counts: false });
    const settled = answered('beam', fails, { counts: false });
    const states = stepStates(order([settled, first, second, other], [{ stepId: 'beam', standingId: second.id, contestedId: other.id }]));
    const beam = states[1]!;
    expect(beam.standing?.id).toBe(second.id);
    expect(beam.contested.map(({ id }) => id)).toEqual([other.id]);
    expect(beam.earlier.map(({ id }) => id)).toEqual([first.id, settled.id]);
    expect(states[0]!.standing).toBeNull();
  });

  it('say of a position the worst that was seen there, and with which numbers', () => {
    expect(positionOutcomes(order([])).get('p1')).toBe('open');
    expect(positionOutcomes(order([answered('beam', works)])).get('p1')).toBe('open');
    expect(positionOutcomes(order([answered('beam', works), answered('beam2', works)])).get('p1')).toBe('passed');
    expect(positionOutcomes(order([answered('beam', fails), answered('beam2', works)])).get('p1')).toBe('failed');
    expect(stepNumbers({ steps })).toEqual(new Map([['p1', [2, 3]], ['p2', [4]]]));
  });
});

describe('an answer that is let stand', () => {
  const gauge = { samplingHertz: 1000, accuracyPercent: 5, rangeFromNewton: 0, rangeToNewton: 2000, springNewtonPerMm: 500, discMm: 80, calibratedOn: '2026-01-10' };
  const figures = { peakNewton: 300, dynamicMs: 200, staticNewton: 100, residualNewton: 20 };
  const readings = [50, 300, 2500].flatMap((heightMm) => (['left', 'middle', 'right'] as const).flatMap((across) => Array.from({ length: 3 }, () => ({ heightMm, across, ...typedReading(figures) }))));
  const answers: Record<string, StepAnswer> = {
    caution: { kind: 'confirm', confirmed: true },
    beam: { kind: 'test-device', passed: false, remark: 'dead' },
    chain: { kind: 'fit-part', removed: { reason: 'worn', serial: 'A' }, fitted: { serial: 'B', ageCycles: 5 } },
    gap: { kind: 'measure', value: 9, unit: 'mm' },
    state: { kind: 'choose', choice: 'bad' },
    count: { kind: 'read-counter', value: 12 },
    photo: { kind: 'photograph', photoIds: ['i1', 'i2'] },
    note: { kind: 'text', text: 'as found' },
    force: { kind: 'force-test', readings, gauge, usedOn: '2026-02-01', instrumentId: 'g1' },
  };

  it.each(Object.entries(answers))('gives step %s the same value again, by the engine’s own check', (stepId, answer) => {
    const step = steps.find(({ id }) => id === stepId)!;
    const value = checkStep(step, answer);
    if ('refused' in value) throw new Error(value.refused);
    const again = answerOf(value, undefined);
    expect(again).not.toBeNull();
    expect(checkStep(step, again!)).toEqual(value);
    const explained = checkStep(step, answerOf(value, 'seen again')!);
    expect(explained).toEqual({ ...value, remark: 'seen again' });
  });

  it('is none where the single readings of a force test were not kept', () => {
    const value = checkStep(steps.at(-1)!, answers['force']!) as Extract<StepValue, { kind: 'force-test' }>;
    const { readings: _gone, ...old } = value;
    expect(answerOf(old, undefined)).toBeNull();
  });
});

describe('work that was kept', () => {
  const step = (id: string) => steps.find((one) => one.id === id)?.text;
  it('is said in words, whatever was sent', () => {
    expect(keptWords({ command: 'answer', stepId: 'gap', answer: { kind: 'measure', value: 4, unit: 'mm', remark: 'cold' } }, step)).toBe('Gap: 4 mm, “cold”');
    expect(keptWords({ command: 'complete', passed: false }, step)).toBe('Completed it as not passed');
    expect(keptWords({ command: 'fly' }, step)).toBe('A deed that this version does not know.');
    expect(keptWords(null, step)).toBe('A deed that this version does not know.');
  });
});

describe('the week', () => {
  // ISO 8601: weeks begin on Monday. 2026-01-01 is a Thursday; 2024-02-29 a Thursday of a leap year (civil calendar).
  it('begins on Monday, over months, years and the 29th of February', () => {
    expect(mondayOf('2026-01-01')).toBe('2025-12-29');
    expect(mondayOf('2024-02-29')).toBe('2024-02-26');
    expect(mondayOf('2026-03-01')).toBe('2026-02-23');
    expect(mondayOf('2026-03-02')).toBe('2026-03-02');
    expect(addDays('2024-02-28', 2)).toBe('2024-03-01');
    expect(dayWords('2026-03-03')).toBe('Tue 3 Mar');
  });
});

describe('a checklist', () => {
  it('keeps of a step what its kind can have', () => {
    expect(tidyStep({ kind: 'photograph', text: 'Sign', unit: 'mm', least: 2, options: ['x'], optional: false, partKind: null })).toEqual({ kind: 'photograph', text: 'Sign', least: 2 });
    for (const [kind, fields] of Object.entries(stepFields)) {
      const whole = { kind, text: 't', ...Object.fromEntries(fields.map((field) => [field, { unit: 'mm', options: ['a'], failing: ['a'], partKind: 'light-beam', positionId: '019ad0a0-0000-7000-8000-000000000000' }[field as string] ?? (/^(caution|safety|optional)$/.test(field) ? true : 1)])) };
      expect(checklistStep.safeParse(tidyStep(whole)).success, kind).toBe(true);
    }
  });

  it('names the field of what is wrong, in the form as by the API', () => {
    const checklist = [
      { kind: 'measure' as const, text: 'Gap', unit: 'mm', lower: 8, upper: 2 },
      { kind: 'choose' as const, text: 'State', options: ['good', 'bad'], failing: ['ugly'] },
      { kind: 'measure' as const, text: 'Force', unit: 'N', safety: true },
      { kind: 'confirm' as const, text: 'Isolated', caution: true, optional: true },
    ];
    const faults = checklistFaults(checklist).map(({ index, field }) => `${index}.${field}`);
    expect(faults).toEqual(['0.upper', '1.failing', '2.upper', '3.optional']);
    const sent = taskCreate.safeParse({ planId: '019ad0a0-0000-7000-8000-000000000000', name: 'T', minutes: 5, source: 's', intervalMonths: 6, checklist });
    expect(sent.error?.issues.map(({ path }) => path.join('.'))).toEqual(faults.map((fault) => `checklist.${fault}`));
    const errors = checklistErrors([...checklist, null, { kind: 'text', text: '' }]).checklist!;
    expect(errors.map((error) => Object.keys(error))).toEqual([['upper'], ['failing'], ['upper'], ['optional'], ['kind', 'text'], ['text']]);
    expect(checklistErrors([{ kind: 'measure', text: 'Gap', unit: 'mm', lower: 2, upper: 8 }])).toEqual({});
  });
});

describe('an order for a task', () => {
  it('does not repeat what the task says', () => {
    expect(byHandOrTask({ doorId: 'd', taskId: 't', kind: 'corrective', title: 'x', minutes: 60, plannedOn: '2026-01-01' })).toEqual({ doorId: 'd', taskId: 't', plannedOn: '2026-01-01' });
    expect(byHandOrTask({ doorId: 'd', kind: 'corrective', title: 'x' })).toEqual({ doorId: 'd', kind: 'corrective', title: 'x' });
  });
});
