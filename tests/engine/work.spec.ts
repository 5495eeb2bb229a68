import { applyWorkCommand, checkStep, commandsIn, defaultForceLimits, isSafetyCheck, MOST_TEXT, plannedOrder, typedReading, workMoves } from '@lintel/engine';
import type { ForceGauge, PointReading, StepAnswer, StepValue, WorkCommand, WorkEffect, WorkOrder, WorkState, WorkStep } from '@lintel/engine';
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';

const states = Object.keys(workMoves) as WorkState[];

function after(order: WorkOrder, ...commands: WorkCommand[]): { order: WorkOrder; effects: WorkEffect[] } {
  let effects: WorkEffect[] = [];
  for (const command of commands) {
    const answer = applyWorkCommand(order, command);
    if ('refused' in answer) throw new Error(`${answer.refused} ${JSON.stringify(answer.facts)}`);
    ({ order, effects } = answer);
  }
  return { order, effects };
}

const edge: WorkStep = { id: 'edge', kind: 'test-device', text: 'Bottom edge', positionId: 'pos-edge', device: 'bottom-edge' };
const beam: WorkStep = { id: 'beam', kind: 'test-device', text: 'Light beam', positionId: 'pos-beam', device: 'light-beam' };
const good: StepAnswer = { kind: 'test-device', passed: true };
const bad: StepAnswer = { kind: 'test-device', passed: false, remark: 'does not stop' };
const release = (steps: WorkStep[], devices: string[] = []): WorkCommand => ({ command: 'release', steps, devices });
const answer = (stepId: string, given: StepAnswer): WorkCommand => ({ command: 'answer', stepId, answer: given });
const complete = (passed: boolean, openUnsafe: string[] = []): WorkCommand => ({ command: 'complete', passed, openUnsafe });
const unsafe: WorkCommand = { command: 'report', finding: { id: 'f1', severity: 'unsafe', text: 'edge dead', stepId: 'edge' } };

function startedInspection(): WorkOrder {
  return after(plannedOrder('inspection'), release([edge, beam], ['pos-edge', 'pos-beam']), { command: 'start' }).order;
}

describe('the table of states', () => {
  const next = (state: WorkState) => [...new Set(Object.values(workMoves[state]))];
  const reachable = (from: WorkState): Set<WorkState> => {
    const seen = new Set<WorkState>([from]);
    for (const state of seen) for (const to of next(state)) seen.add(to);
    return seen;
  };

  it('has the six states, all reached from planned', () => {
    expect(states.sort()).toEqual(['cancelled', 'completed', 'planned', 'released', 'reviewed', 'started']);
    expect([...reachable('planned')].sort()).toEqual(states.sort());
  });

  it('ends in reviewed and cancelled only, and an end is reached from everywhere', () => {
    expect(states.filter((state) => commandsIn(state).length === 0).sort()).toEqual(['cancelled', 'reviewed']);
    for (const state of states) expect([...reachable(state)].some((one) => one === 'reviewed' || one === 'cancelled')).toBe(true);
    expect(reachable('completed').has('cancelled')).toBe(false);
  });

  it('refuses in each state just the commands that it does not list, with those it does', () => {
    const some: WorkCommand[] = [
      release([beam]), { command: 'start' }, answer('beam', good), { command: 'report', finding: { id: 'n', severity: 'note', text: 'x' } },
      complete(true), { command: 'review' }, { command: 'cancel', reason: 'twice' },
    ];
    const released = after(plannedOrder('preventive'), release([beam])).order;
    const done = after(released, { command: 'start' }, answer('beam', good)).order;
    for (const state of states) {
      const order: WorkOrder = { ...(state === 'planned' ? plannedOrder('preventive') : done), state };
      for (const command of some) {
        const result = applyWorkCommand(order, command);
        const to = workMoves[state][command.command];
        if (to === undefined) {
          expect(result).toEqual({ refused: 'not-in-this-state', facts: { state, command: command.command, allowed: commandsIn(state) } });
        } else expect('refused' in result ? result.refused : result.order.state).toBe(to);
      }
    }
  });
});

describe('release', () => {
  it('copies and freezes: neither the plan nor the order’s reader can change a step', () => {
    const checklist: WorkStep[] = [{ id: 'm', kind: 'measure', text: 'Chain', unit: '%', upper: 1.5 }];
    const { order } = after(plannedOrder('preventive'), release(checklist));
    Object.assign(checklist[0]!, { upper: 99 });
    checklist.push(beam);
    expect(order.steps).toEqual([{ id: 'm', kind: 'measure', text: 'Chain', unit: '%', upper: 1.5 }]);
    expect(() => Object.assign(order.steps[0]!, { upper: 99 })).toThrow(TypeError);
    expect(() => (order.steps as WorkStep[]).push(beam)).toThrow(TypeError);
    expect(applyWorkCommand(order, release([beam]))).toMatchObject({ refused: 'not-in-this-state' });
  });

  it.each<[string, WorkStep[], object]>([
    ['no steps', [], { refused: 'no-steps' }],
    ['a step twice', [beam, beam], { refused: 'step-twice', facts: { stepId: 'beam' } }],
    ['limits crossed', [{ id: 'm', kind: 'measure', text: 't', unit: 'N', lower: 2, upper: 1 }], { refused: 'step-not-usable', facts: { why: 'lower-above-upper' } }],
    ['limits that are none', [{ id: 'm', kind: 'measure', text: 't', unit: 'N', upper: NaN }], { refused: 'step-not-usable' }],
    ['no resolution', [{ id: 'm', kind: 'measure', text: 't', unit: 'N', resolution: 0 }], { facts: { why: 'resolution-not-positive' } }],
    ['a safety value without a limit', [{ id: 'm', kind: 'measure', text: 't', unit: 'N', safety: true }], { facts: { why: 'safety-without-limit' } }],
    ['nothing to choose from', [{ id: 'c', kind: 'choose', text: 't', options: [] }], { facts: { why: 'no-options' } }],
    ['failing on what is no option', [{ id: 'c', kind: 'choose', text: 't', options: ['a'], failing: ['b'] }], { facts: { why: 'failing-not-an-option' } }],
    ['a safety choice that cannot fail', [{ id: 'c', kind: 'choose', text: 't', options: ['a'], safety: true }], { facts: { why: 'safety-without-limit' } }],
  ])('refuses %s', (_, steps, refusal) => {
    expect(applyWorkCommand(plannedOrder('preventive'), release(steps))).toMatchObject(refusal);
  });

  it('refuses an inspection that leaves a device out, or makes its test optional', () => {
    const left = { refused: 'device-without-step', facts: { positionIds: ['pos-beam'] } };
    for (const kind of ['inspection', 'commissioning'] as const) {
      expect(applyWorkCommand(plannedOrder(kind), release([edge], ['pos-edge', 'pos-beam']))).toEqual(left);
      expect(applyWorkCommand(plannedOrder(kind), release([edge, { ...beam, optional: true }], ['pos-edge', 'pos-beam']))).toEqual(left);
    }
    expect(after(plannedOrder('corrective'), release([edge], ['pos-edge', 'pos-beam'])).order.state).toBe('released');
  });
});

describe('an inspection', () => {
  it('is not completed with a device unchecked, neither as passed nor as failed', () => {
    const { order } = after(startedInspection(), answer('edge', good));
    for (const passed of [true, false]) {
      expect(applyWorkCommand(order, complete(passed))).toEqual({ refused: 'device-unchecked', facts: { positionIds: ['pos-beam'] } });
    }
  });

  it('is not completed as passed with a failed safety check, nor as failed without a finding for it', () => {
    const { order } = after(startedInspection(), answer('edge', bad), answer('beam', good));
    expect(applyWorkCommand(order, complete(true))).toEqual({ refused: 'safety-check-failed', facts: { stepIds: ['edge'] } });
    expect(applyWorkCommand(order, complete(false))).toEqual({ refused: 'failure-without-finding', facts: { stepIds: ['edge'] } });
    expect(applyWorkCommand(order, { command: 'cancel', reason: 'no time' })).toMatchObject({ refused: 'failure-without-finding' });
    const noted = after(order, { command: 'report', finding: { id: 'n', severity: 'note', text: 'odd', stepId: 'edge' } }).order;
    expect(applyWorkCommand(noted, complete(false))).toMatchObject({ refused: 'failure-without-finding' });
    const found = after(order, { command: 'report', finding: { id: 'd', severity: 'defect', text: 'edge', stepId: 'edge' } });
    expect(found.effects).toEqual([{ effect: 'open-corrective', findingId: 'd', severity: 'defect' }]);
    expect(after(found.order, complete(false)).effects).toEqual([
      { effect: 'record-completion', passed: false },
      { effect: 'issue-certificate', passed: false },
    ]);
  });

  it('a failed check is answered again only with a remark, and both answers stay', () => {
    const { order } = after(startedInspection(), answer('edge', bad), answer('beam', good));
    expect(applyWorkCommand(order, answer('edge', good))).toEqual({ refused: 'remark-needed', facts: { stepId: 'edge' } });
    const repaired = after(order, answer('edge', { ...good, remark: 'plug cleaned' })).order;
    expect(repaired.answers.filter(({ stepId }) => stepId === 'edge').map(({ value }) => value.outcome)).toEqual(['failed', 'passed']);
    expect(after(repaired, complete(true)).order).toMatchObject({ state: 'completed', passed: true });
  });

  it('an unsafe finding takes the door out of service at once; a further order that tests it again and passes brings it back', () => {
    const found = after(startedInspection(), answer('edge', bad), unsafe);
    expect(found.effects).toEqual([
      { effect: 'take-door-out-of-service', findingIds: ['f1'] },
      { effect: 'open-corrective', findingId: 'f1', severity: 'unsafe' },
    ]);
    // Completed late, when another order has tested and passed the door meanwhile, it does not take the door out again.
    const late = after(found.order, answer('beam', good), complete(false, []));
    expect(late.effects.map(({ effect }) => effect)).toEqual(['record-completion', 'issue-certificate']);
    // Mended on the spot, the same order still is not passed.
    const mended = after(found.order, answer('beam', good), answer('edge', { ...good, remark: 'mended' })).order;
    expect(applyWorkCommand(mended, complete(true, ['f1']))).toEqual({ refused: 'unsafe-finding', facts: { findingIds: ['f1'] } });

    const retest = after(plannedOrder('corrective', ['f1']), release([edge]), { command: 'start' }).order;
    const again = after(retest, answer('edge', bad), { command: 'report', finding: { id: 'f2', severity: 'unsafe', text: 'still', stepId: 'edge' } });
    expect(after(again.order, complete(false, ['f1', 'f2'])).effects.map(({ effect }) => effect)).not.toContain('clear-unsafe');
    const passed = after(retest, answer('edge', good)).order;
    expect(after(passed, complete(true, ['f1'])).effects).toEqual([
      { effect: 'record-completion', passed: true },
      { effect: 'clear-unsafe', findingIds: ['f1'] },
      { effect: 'return-door-to-service' },
    ]);
    // Another unsafe finding keeps the door out.
    expect(after(passed, complete(true, ['f1', 'f9'])).effects.map(({ effect }) => effect)).toEqual(['record-completion', 'clear-unsafe']);
  });

  it('does not pass a door on which an unsafe finding is open that it does not test again', () => {
    const { order } = after(startedInspection(), answer('edge', good), answer('beam', good));
    expect(applyWorkCommand(order, complete(true, ['f9']))).toEqual({ refused: 'unsafe-not-retested', facts: { findingIds: ['f9'] } });
    expect(after(order, complete(true)).order.passed).toBe(true);
  });

  it('a retest without a check is not released', () => {
    const text: WorkStep = { id: 't', kind: 'text', text: 'Remarks' };
    const retest = plannedOrder('corrective', ['f1']);
    expect(applyWorkCommand(retest, release([text]))).toMatchObject({ refused: 'retest-without-check' });
    expect(applyWorkCommand(retest, release([text, { ...edge, optional: true }]))).toMatchObject({ refused: 'retest-without-check' });
  });
});

describe('working through the steps', () => {
  const lock: WorkStep = { id: 'lock', kind: 'confirm', text: 'Isolated, locked, tagged', caution: true };

  it('begins with the cautions, each confirmed', () => {
    const { order } = after(plannedOrder('preventive'), release([lock, beam]), { command: 'start' });
    expect(applyWorkCommand(order, answer('beam', good))).toMatchObject({ refused: 'cautions-first', facts: { stepIds: ['lock'] } });
    expect(applyWorkCommand(order, answer('lock', { kind: 'confirm', confirmed: false, remark: 'no' }))).toMatchObject({ refused: 'caution-not-confirmed' });
    const confirmed = after(order, answer('lock', { kind: 'confirm', confirmed: true }), answer('beam', good)).order;
    expect(after(confirmed, complete(true)).order.state).toBe('completed');
  });

  it('books readings and parts in the order of the steps, of each step the last answer', () => {
    const steps: WorkStep[] = [
      { id: 'part', kind: 'fit-part', text: 'Chain', positionId: 'pos-chain' },
      { id: 'count', kind: 'read-counter', text: 'Counter' },
      { id: 'note', kind: 'text', text: 'Remarks', optional: true },
    ];
    const removed = { reason: 'worn', serial: 'old' };
    const fitted = { serial: 'new', ageCycles: 0 };
    const { effects } = after(
      plannedOrder('preventive'), release(steps), { command: 'start' }, answer('count', { kind: 'read-counter', value: 12 }),
      answer('part', { kind: 'fit-part', removed, fitted }), answer('count', { kind: 'read-counter', value: 21 }), complete(true),
    );
    expect(effects).toEqual([
      { effect: 'record-completion', passed: true },
      { effect: 'change-part', stepId: 'part', positionId: 'pos-chain', removed, fitted },
      { effect: 'store-reading', stepId: 'count', value: 21 },
    ]);
  });

  it('refuses a finding given twice, without words, or at no step', () => {
    const { order } = after(startedInspection(), unsafe);
    expect(applyWorkCommand(order, unsafe)).toMatchObject({ refused: 'finding-twice' });
    expect(applyWorkCommand(order, { command: 'report', finding: { id: 'x', severity: 'note', text: ' ' } })).toMatchObject({ refused: 'empty' });
    expect(applyWorkCommand(order, { command: 'report', finding: { id: 'x', severity: 'note', text: 'y', stepId: 'z' } })).toMatchObject({ refused: 'no-such-step' });
  });

  it('a command that is none is refused like one out of place', () => {
    expect(applyWorkCommand(plannedOrder('preventive'), { command: 'reopen' } as unknown as WorkCommand)).toMatchObject({ refused: 'not-in-this-state' });
    expect(applyWorkCommand(plannedOrder('preventive'), { command: 'toString' } as unknown as WorkCommand)).toMatchObject({ refused: 'not-in-this-state' });
  });
});

describe('step answers', () => {
  const long = 'x'.repeat(MOST_TEXT + 1);
  const confirm: WorkStep = { id: 's', kind: 'confirm', text: 't' };
  const measure: WorkStep = { id: 's', kind: 'measure', text: 't', unit: 'mm', lower: 10, upper: 12, resolution: 0.1 };
  const plain: WorkStep = { id: 's', kind: 'measure', text: 't', unit: '°C' };
  const choose: WorkStep = { id: 's', kind: 'choose', text: 't', options: ['safe', 'unsafe'], failing: ['unsafe'] };
  const photograph: WorkStep = { id: 's', kind: 'photograph', text: 't', least: 2 };
  const counter: WorkStep = { id: 's', kind: 'read-counter', text: 't', modulus: 1_000_000 };
  const part: WorkStep = { id: 's', kind: 'fit-part', text: 't', positionId: 'p' };
  const text: WorkStep = { id: 's', kind: 'text', text: 't' };

  it.each<[WorkStep, StepAnswer, Partial<StepValue>]>([
    [confirm, { kind: 'confirm', confirmed: true }, { outcome: 'passed' }],
    [confirm, { kind: 'confirm', confirmed: false, remark: ' torn ' }, { outcome: 'failed', remark: 'torn' }],
    [measure, { kind: 'measure', value: 10, unit: 'mm' }, { outcome: 'passed', value: 10 }],
    [measure, { kind: 'measure', value: 12, unit: 'mm' }, { outcome: 'passed' }],
    [measure, { kind: 'measure', value: 12.1, unit: 'mm' }, { outcome: 'failed', value: 12.1 }],
    [measure, { kind: 'measure', value: 9.9, unit: 'mm' }, { outcome: 'failed' }],
    [plain, { kind: 'measure', value: -28.375, unit: '°C' }, { outcome: 'recorded', value: -28.375 }],
    [choose, { kind: 'choose', choice: 'safe' }, { outcome: 'passed' }],
    [choose, { kind: 'choose', choice: 'unsafe' }, { outcome: 'failed' }],
    [{ ...choose, failing: undefined } as unknown as WorkStep, { kind: 'choose', choice: 'unsafe' }, { outcome: 'recorded' }],
    [photograph, { kind: 'photograph', photoIds: ['a', 'b'] }, { outcome: 'recorded' }],
    [counter, { kind: 'read-counter', value: 999_999 }, { outcome: 'recorded' }],
    [counter, { kind: 'read-counter', value: 0 }, { outcome: 'recorded' }],
    [part, { kind: 'fit-part', removed: { reason: 'failed' } }, { outcome: 'recorded' }],
    [beam, { kind: 'test-device', passed: true }, { outcome: 'passed' }],
    [beam, { kind: 'test-device', passed: false, remark: 'late' }, { outcome: 'failed' }],
    [text, { kind: 'text', text: ' written ' }, { outcome: 'recorded', text: 'written' }],
  ])('%j takes %j', (step, given, value) => {
    expect(checkStep(step, given)).toMatchObject(value);
  });

  it.each<[WorkStep, StepAnswer, string]>([
    [confirm, { kind: 'text', text: 'x' }, 'other-kind'],
    [confirm, { kind: 'confirm', confirmed: false }, 'remark-needed'],
    [confirm, { kind: 'confirm', confirmed: false, remark: '  ' }, 'remark-needed'],
    [confirm, { kind: 'confirm', confirmed: true, remark: long }, 'too-long'],
    [measure, { kind: 'measure', value: NaN, unit: 'mm' }, 'not-a-number'],
    [measure, { kind: 'measure', value: Infinity, unit: 'mm' }, 'not-a-number'],
    [measure, { kind: 'measure', value: 11, unit: 'in' }, 'other-unit'],
    [measure, { kind: 'measure', value: 11.05, unit: 'mm' }, 'finer-than-resolution'],
    [choose, { kind: 'choose', choice: 'perhaps' }, 'not-an-option'],
    [photograph, { kind: 'photograph', photoIds: ['a'] }, 'too-few-photographs'],
    [photograph, { kind: 'photograph', photoIds: ['a', 'a'] }, 'photograph-twice'],
    [counter, { kind: 'read-counter', value: 1_000_000 }, 'beyond-modulus'],
    [counter, { kind: 'read-counter', value: 1.5 }, 'not-a-count'],
    [counter, { kind: 'read-counter', value: -1 }, 'not-a-count'],
    [counter, { kind: 'read-counter', value: NaN }, 'not-a-count'],
    [beam, { kind: 'test-device', passed: false }, 'remark-needed'],
    [part, { kind: 'fit-part' }, 'nothing-done'],
    [part, { kind: 'fit-part', removed: { reason: ' ' } }, 'reason-needed'],
    [part, { kind: 'fit-part', fitted: { ageCycles: -1 } }, 'not-a-count'],
    [text, { kind: 'text', text: '  ' }, 'empty'],
    [text, { kind: 'text', text: long }, 'too-long'],
  ])('%j refuses %j: %s', (step, given, refused) => {
    expect(checkStep(step, given)).toMatchObject({ refused, facts: { stepId: step.id } });
  });

  it('a value in steps of the resolution is taken, whatever the rounding of decimals', () => {
    fc.assert(
      fc.property(fc.integer({ min: -100_000, max: 100_000 }), fc.constantFrom(0.001, 0.01, 0.05, 0.1, 0.25, 1, 5), (steps, resolution) => {
        const value = Number((steps * resolution).toFixed(3));
        const step: WorkStep = { id: 's', kind: 'measure', text: 't', unit: 'N', resolution };
        expect(checkStep(step, { kind: 'measure', value, unit: 'N' })).toMatchObject({ value });
        expect(checkStep(step, { kind: 'measure', value: value + resolution / 2, unit: 'N' })).toMatchObject({ refused: 'finer-than-resolution' });
      }),
    );
  });

  describe('a force test', () => {
    const step: WorkStep = { id: 'f', kind: 'force-test', text: 't', opening: { widthMm: 3000, heightMm: 3500 }, limits: defaultForceLimits };
    const figures = { peakNewton: 300, dynamicMs: 200, staticNewton: 100, residualNewton: 5 };
    const readings: PointReading[] = [50, 300, 2500].flatMap((heightMm) =>
      (['left', 'middle', 'right'] as const).flatMap((across) => [1, 2, 3].map(() => ({ heightMm, across, ...typedReading(figures) }))),
    );

    const gauge: ForceGauge = {
      samplingHertz: 1000, accuracyPercent: 2, rangeFromNewton: 20, rangeToNewton: 2000, springNewtonPerMm: 500, discMm: 80, calibratedOn: '2026-01-15',
    };
    const test = (taken: readonly PointReading[]): StepAnswer => ({ kind: 'force-test', readings: taken, gauge, usedOn: '2026-06-01' });

    it('with a gauge that may not be used is no evidence', () => {
      expect(checkStep(step, { ...test(readings), usedOn: '2027-01-16' } as StepAnswer)).toEqual({
        refused: 'gauge-not-usable', facts: { stepId: 'f', reasons: ['calibration-expired'], usedOn: '2027-01-16' },
      });
      expect(checkStep(step, { ...test(readings), gauge: { ...gauge, samplingHertz: 100 } } as StepAnswer)).toMatchObject({ refused: 'gauge-not-usable' });
    });

    it('passes with all 27, fails by a mean at once, and is not taken half done', () => {
      expect(checkStep(step, test(readings))).toMatchObject({ outcome: 'passed', verdict: { readingsNeeded: 27 } });
      expect(checkStep(step, test(readings.slice(1)))).toMatchObject({
        refused: 'readings-missing', facts: { stepId: 'f', missing: 1, needed: 27 },
      });
      const hard = readings.slice(0, 3).map((one) => ({ ...one, figures: { ...figures, peakNewton: 450 } }));
      expect(checkStep(step, test(hard))).toMatchObject({ outcome: 'failed', verdict: { passed: false } });
      expect(checkStep(step, test([{ ...readings[0]!, heightMm: 500 }]))).toMatchObject({ refused: 'not-a-point' });
      expect(checkStep({ ...step, opening: { widthMm: 10, heightMm: 10 } }, test(readings))).toMatchObject({ refused: 'opening-too-small' });
    });

    it('goes by its curves and not by the figures that came with them', () => {
      // A rectangle of 500 N over 0.3 s, then 20 N: its peak, duration and rest are known in closed form.
      const curve = Array.from({ length: 6000 }, (_, ms) => ({ ms, newton: ms < 10 ? 0 : ms < 310 ? 500 : 20 }));
      const told = readings.slice(0, 3).map((one) => ({ ...one, curve }));
      const value = checkStep(step, test(told));
      expect(value).toMatchObject({ outcome: 'failed', readings: [{ figures: { peakNewton: 500, residualNewton: 20 } }, {}, {}] });
      const broken = [{ ...readings[0]!, curve: [{ ms: 1, newton: 1 }, { ms: 1, newton: 2 }] }, ...readings.slice(1)];
      expect(checkStep(step, test(broken))).toMatchObject({ refused: 'curve-not-usable', facts: { stepId: 'f', why: 'time-not-rising', heightMm: 50 } });
    });

    it('is a safety check, as is every device test, and a measured or confirmed value just where it is marked', () => {
      expect([step, beam, { ...measure, safety: true } as WorkStep].map(isSafetyCheck)).toEqual([true, true, true]);
      expect([measure, confirm, text, counter].map(isSafetyCheck)).toEqual([false, false, false, false]);
    });
  });
});
