import { randomUUID } from 'node:crypto';
import * as contract from '@lintel/contract';
import { checkStep, type StepAnswer, type WorkStep } from '@lintel/engine';
import { describe, expect, it } from 'vitest';

const id = randomUUID();
const wrong = (schema: { safeParse(value: unknown): { success: boolean; error?: { issues: { path: PropertyKey[]; keys?: string[] }[] } } }, value: unknown): string[] =>
  schema.safeParse(value).error?.issues.map(({ path, keys }) => [...path, ...(keys ?? [])].join('.')) ?? [];

describe('the words of work', () => {
  it('take each kind of answer that the engine takes, and nothing beside it', () => {
    const answers: StepAnswer[] = [
      { kind: 'confirm', confirmed: true }, { kind: 'measure', value: 1.5, unit: '%' }, { kind: 'choose', choice: 'safe' }, { kind: 'photograph', photoIds: [id] },
      { kind: 'read-counter', value: 5 }, { kind: 'test-device', passed: false, remark: 'dead' }, { kind: 'text', text: 'x' },
      { kind: 'fit-part', removed: { reason: 'worn', serial: 'A' }, fitted: { ageCycles: 0 } },
      { kind: 'force-test', readings: [], usedOn: '2026-11-25', gauge: { samplingHertz: 1000, accuracyPercent: 1, rangeFromNewton: 10, rangeToNewton: 2500, springNewtonPerMm: 500, discMm: 80 } },
    ];
    expect(contract.stepAnswer.options.map(({ shape }) => shape.kind.value).sort()).toEqual(answers.map(({ kind }) => kind).sort());
    for (const answer of answers) {
      expect(wrong(contract.stepAnswer, answer)).toEqual([]);
      expect(wrong(contract.stepAnswer, { ...answer, passedAnyway: true })).toEqual(['passedAnyway']);
    }
    expect(wrong(contract.stepAnswer, { kind: 'confirm', confirmed: 'yes' })).toEqual(['confirmed']);
    expect(wrong(contract.stepAnswer, { kind: 'fit-part', removed: { reason: 'tired of it' } })).toEqual(['removed.reason']);
    for (const value of [-1, 1.5, 2 ** 53]) expect(new Set(wrong(contract.stepAnswer, { kind: 'read-counter', value }))).toEqual(new Set(['value']));
  });

  it('an answer never brings its own outcome: the engine decides it', () => {
    const step: WorkStep = { id: 's', kind: 'measure', text: 't', unit: 'N', upper: 1 };
    expect(wrong(contract.stepAnswer, { kind: 'measure', value: 2, unit: 'N', outcome: 'passed' })).toEqual(['outcome']);
    expect(checkStep(step, contract.stepAnswer.parse({ kind: 'measure', value: 2, unit: 'N' }))).toMatchObject({ outcome: 'failed' });
  });

  it('a device cannot say which unsafe findings are open, nor release, review or cancel', () => {
    expect(wrong(contract.technicianCommand, { command: 'complete', passed: true })).toEqual([]);
    expect(wrong(contract.technicianCommand, { command: 'complete', passed: true, openUnsafe: [] })).toEqual(['openUnsafe']);
    for (const command of ['release', 'review', 'cancel']) expect(wrong(contract.technicianCommand, { command, reason: 'x' })).toEqual(['command']);
  });

  it('a batch is bounded, and its envelope strict; a command in it is read by itself', () => {
    const one = { id, madeAt: '2026-11-25T10:00:00+01:00', orderId: id, command: { command: 'anything' } };
    expect(wrong(contract.deviceCommands, { device: 't', commands: [one] })).toEqual([]);
    expect(wrong(contract.deviceCommands, { device: 't', commands: Array(501).fill(one) })).toEqual(['commands']);
    expect(wrong(contract.deviceCommands, { device: 't', commands: [{ ...one, madeAt: '2026-11-25T10:00:00' }] })).toEqual(['commands.0.madeAt']);
  });
});
