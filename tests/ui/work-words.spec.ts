import { readFileSync } from 'node:fs';
import { applyWorkCommand, defaultForceLimits, plannedOrder, typedReading } from '@lintel/engine';
import type { WorkCommand, WorkOrder, WorkRefusal, WorkStep } from '@lintel/engine';
import { refusalSentence, stepValueWords } from '@lintel/ui';
import { describe, expect, it } from 'vitest';

const caution: WorkStep = { id: 'c', kind: 'confirm', text: 'Isolated and locked', caution: true };
const beam: WorkStep = { id: 'b', kind: 'test-device', text: 'Interrupt the beam', positionId: 'p1', device: 'light-beam' };
const gap: WorkStep = { id: 'g', kind: 'measure', text: 'Gap at the side', unit: 'mm', lower: 2, upper: 8, resolution: 0.5 };
const names = {
  step: (id: string) => [caution, beam, gap].find((step) => step.id === id)?.text,
  position: (id: string) => ({ p1: 'Light beam' })[id],
  finding: (id: string) => ({ f1: 'Beam dead' })[id],
};

function through(...commands: WorkCommand[]): WorkOrder | WorkRefusal {
  return commands.reduce<WorkOrder | WorkRefusal>((order, command) => {
    if ('refused' in order) return order;
    const next = applyWorkCommand(order, command);
    return 'refused' in next ? next : next.order;
  }, plannedOrder('inspection'));
}

const release: WorkCommand = { command: 'release', steps: [caution, beam, gap], devices: ['p1'] };
const start: WorkCommand = { command: 'start' };
const confirmed: WorkCommand = { command: 'answer', stepId: 'c', answer: { kind: 'confirm', confirmed: true } };

function said(...commands: WorkCommand[]): string {
  const refusal = through(...commands);
  if (!('refused' in refusal)) throw new Error('was not refused');
  return refusalSentence(refusal.refused, refusal.facts, names);
}

describe('a refusal as a sentence, from what the engine really answers', () => {
  it('says in which state the order is and what it cannot be', () => {
    expect(said(start)).toBe('An order that is planned cannot be started.');
    expect(said(release, { command: 'review' })).toBe('An order that is released cannot be reviewed.');
  });

  it('names the steps and devices in the way', () => {
    expect(said(release, start, { command: 'answer', stepId: 'g', answer: { kind: 'measure', value: 5, unit: 'mm' } })).toBe(
      'Confirm the cautions first: ‘Isolated and locked’.',
    );
    expect(said(release, start, confirmed, { command: 'complete', passed: true, openUnsafe: [] })).toBe(
      'Not every safety device has been tested: ‘Light beam’.',
    );
    expect(said({ command: 'release', steps: [caution, gap], devices: ['p1'] })).toBe(
      'Not every safety device has a test: ‘Light beam’. An inspection tests them all.',
    );
    const failed: WorkCommand = { command: 'answer', stepId: 'b', answer: { kind: 'test-device', passed: false, remark: 'dead' } };
    expect(said(release, start, confirmed, failed, { command: 'cancel', reason: 'another day' })).toBe(
      'A safety check failed and nothing has been reported about it: ‘Interrupt the beam’. Report a defect or an unsafe door at that step first.',
    );
  });

  it('says what a value should have been', () => {
    const measured = (value: number, unit = 'mm'): string => said(release, start, confirmed, { command: 'answer', stepId: 'g', answer: { kind: 'measure', value, unit } });
    expect(measured(5.25)).toBe('Finer than the instrument shows: it reads in steps of 0.5 mm.');
    expect(measured(5, 'in')).toBe('The value is in in; this step is measured in mm.');
    expect(said(release, start, confirmed, { command: 'answer', stepId: 'g', answer: { kind: 'confirm', confirmed: true } })).toBe(
      'This step asks to measure, not to confirm.',
    );
  });

  it('says what is wrong with a gauge and what a force test lacks', () => {
    const force: WorkStep = { id: 'f', kind: 'force-test', text: 'Force', opening: { widthMm: 3000, heightMm: 3000 }, limits: defaultForceLimits };
    const order = through({ command: 'release', steps: [caution, beam, force], devices: ['p1'] }, start, confirmed) as WorkOrder;
    const gauge = { samplingHertz: 1000, accuracyPercent: 5, rangeFromNewton: 0, rangeToNewton: 2000, springNewtonPerMm: 500, discMm: 80, calibratedOn: '2026-01-10' };
    const readings = [{ heightMm: 50, across: 'middle' as const, ...typedReading({ peakNewton: 300, dynamicMs: 200, staticNewton: 100, residualNewton: 20 }) }];
    const answered = (calibratedOn: string) =>
      applyWorkCommand(order, { command: 'answer', stepId: 'f', answer: { kind: 'force-test', readings, gauge: { ...gauge, calibratedOn }, usedOn: '2026-11-01' } }) as WorkRefusal;
    const old = answered('2023-01-10');
    expect(refusalSentence(old.refused, old.facts)).toBe('This force gauge may not be used: its calibration has expired.');
    const part = answered('2026-01-10');
    expect(refusalSentence(part.refused, part.facts)).toBe('26 readings of 27 still missing: a test that has not failed must be complete.');
  });

  it('speaks in general of what has no name, and never shows nothing', () => {
    expect(refusalSentence('steps-unanswered', { stepIds: ['x', 'y'] })).toBe('Not every step is answered: 2 steps.');
    expect(refusalSentence('steps-unanswered', { stepIds: ['x'] })).toBe('Not every step is answered: a step.');
    expect(refusalSentence('steps-unanswered', { stepIds: ['b', 'x', 'y'] }, names)).toBe('Not every step is answered: ‘Interrupt the beam’ and 2 more.');
    expect(refusalSentence('somebody-elses-order')).toBe('Refused: somebody elses order.');
    expect(refusalSentence('constructor')).toBe('Refused: constructor.');
  });

  it('has a sentence for every code that the engine’s sources refuse with', () => {
    const sources = ['work/checkStep', 'work/completeGuards', 'work/releaseGuards', 'work/applyWorkCommand', 'safety/judgeForce', 'safety/judgeForceTest', 'safety/measuringPoints', 'safety/forceLimits'];
    const code = /(?:refused: |refused\()'([a-z-]+)'/g;
    const codes = sources.flatMap((file) =>
      [...readFileSync(new URL(`../../packages/engine/src/${file}.ts`, import.meta.url), 'utf8').matchAll(code)].map((match) => match[1]!),
    );
    expect(new Set(codes).size).toBeGreaterThan(25);
    for (const one of codes) expect(refusalSentence(one), one).not.toMatch(/^Refused:/);
  });
});

describe('what a step holds, in words', () => {
  it('keeps units, counts and serials', () => {
    expect(stepValueWords({ kind: 'measure', outcome: 'passed', value: 0.125, unit: 'mm' })).toBe('0.125 mm');
    expect(stepValueWords({ kind: 'read-counter', outcome: 'recorded', value: 123_456 })).toBe('123,456');
    expect(stepValueWords({ kind: 'photograph', outcome: 'recorded', photoIds: ['a'] })).toBe('1 photograph');
    expect(
      stepValueWords({ kind: 'fit-part', outcome: 'recorded', positionId: 'p', removed: { reason: 'worn', serial: 'A1' }, fitted: { serial: 'B2', ageCycles: 1200 } }),
    ).toBe('removed (worn out, serial A1), fitted (serial B2, used before for 1,200 cycles)');
    expect(stepValueWords({ kind: 'fit-part', outcome: 'recorded', positionId: 'p', fitted: {} })).toBe('fitted');
  });
});
