import { applyWorkCommand, plannedOrder } from '@lintel/engine';
import type { FindingSeverity, StepAnswer, WorkCommand, WorkEffect, WorkKind, WorkOrder, WorkStep } from '@lintel/engine';
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';

// Several orders on one door, driven by random commands, most of them out of place. The model knows sets of step numbers and
// a door that is in or out of service; it does not know the engine's table, guards or effects.

type Mark = 'caution' | 'safety' | 'plain' | 'optional' | 'device' | 'counter' | 'part';
const DEVICES = ['pos-a', 'pos-b'];

/** A checklist: its marks say all that the model needs. */
function step(mark: Mark, index: number): WorkStep {
  const base = { id: `step-${index}`, text: mark };
  switch (mark) {
    case 'caution':
      return { ...base, kind: 'confirm', caution: true };
    case 'safety':
      return { ...base, kind: 'measure', unit: 'N', upper: 150, safety: true };
    case 'plain':
      return { ...base, kind: 'measure', unit: '%', upper: 150 };
    case 'optional':
      return { ...base, kind: 'measure', unit: '°C', optional: true };
    case 'device':
      return { ...base, kind: 'test-device', positionId: DEVICES[index % 2]!, device: 'light-beam' };
    case 'counter':
      return { ...base, kind: 'read-counter', modulus: 1000 };
    case 'part':
      return { ...base, kind: 'fit-part', positionId: 'pos-chain' };
  }
}

function answerFor(mark: Mark, good: boolean, remark: boolean): StepAnswer {
  const more = remark ? { remark: 'cleaned' } : {};
  switch (mark) {
    case 'caution':
      return { kind: 'confirm', confirmed: good, ...more };
    case 'safety':
      return { kind: 'measure', value: good ? 100 : 200, unit: 'N', ...more };
    case 'plain':
      return { kind: 'measure', value: good ? 100 : 200, unit: '%', ...more };
    case 'optional':
      return { kind: 'measure', value: 4, unit: '°C', ...more };
    case 'device':
      return { kind: 'test-device', passed: good, ...more };
    case 'counter':
      return { kind: 'read-counter', value: good ? 500 : 1000, ...more };
    case 'part':
      return { kind: 'fit-part', ...(good ? { fitted: { serial: 'x' } } : {}), ...more };
  }
}

type Phase = 'planned' | 'released' | 'started' | 'completed' | 'reviewed' | 'cancelled';

interface OrderModel {
  kind: WorkKind;
  phase: Phase;
  marks: Mark[];
  devices: string[];
  answered: Set<number>;
  failing: Set<number>;
  explained: Set<number>;
  unsafe: Set<string>;
  retests: Set<string>;
}

interface Model {
  orders: OrderModel[];
  open: Set<string>;
  findings: number;
}

interface Real {
  orders: WorkOrder[];
  frozen: string[];
  open: Set<string>;
  outOfService: boolean;
}

const isWhole = (order: OrderModel) => order.kind === 'inspection' || order.kind === 'commissioning';
const isSafety = (mark: Mark | undefined) => mark === 'safety' || mark === 'device';

/** What the door's owner does with the effects. */
function obey(real: Real, effects: readonly WorkEffect[]): void {
  for (const one of effects) {
    if (one.effect === 'take-door-out-of-service') {
      for (const id of one.findingIds) real.open.add(id);
      real.outOfService = true;
    }
    if (one.effect === 'clear-unsafe') for (const id of one.findingIds) real.open.delete(id);
    if (one.effect === 'return-door-to-service') real.outOfService = false;
  }
}

const codesSeen = new Map<string, number>();

/** Gives an order a command; it must be refused just when the model sees a reason, and for one of the model's reasons. */
function give(model: Model, real: Real, index: number, command: WorkCommand, reasons: string[]): WorkEffect[] | undefined {
  const before = JSON.stringify(real.orders[index]);
  const answer = applyWorkCommand(real.orders[index]!, command);
  expect(JSON.stringify(real.orders[index])).toBe(before);
  if ('refused' in answer) {
    codesSeen.set(answer.refused, (codesSeen.get(answer.refused) ?? 0) + 1);
    expect(reasons).toContain(answer.refused);
    return undefined;
  }
  expect(reasons).toEqual([]);
  codesSeen.set(command.command, (codesSeen.get(command.command) ?? 0) + 1);
  real.orders[index] = answer.order;
  // Once released, steps and devices are what they were, whatever is done.
  const frozen = JSON.stringify([answer.order.steps, answer.order.devices]);
  if (command.command === 'release') real.frozen[index] = frozen;
  else if (real.frozen[index]) expect(frozen).toBe(real.frozen[index]);
  obey(real, answer.effects);
  return answer.effects;
}

function settle(model: Model, real: Real, index: number): void {
  expect(real.orders[index]!.state).toBe(model.orders[index]!.phase);
  expect([...real.open].sort()).toEqual([...model.open].sort());
  expect(real.outOfService).toBe(model.open.size > 0);
}

type Command = fc.Command<Model, Real>;

function commandOf(text: string, run: (model: Model, real: Real, index: number) => void, which: number): Command {
  return {
    check: (model) => model.orders.length > 0,
    run: (model, real) => {
      const index = which % model.orders.length;
      run(model, real, index);
      settle(model, real, index);
    },
    toString: () => `${text}@${which}`,
  };
}

type Retest = 'none' | 'first' | 'all';
const plan = (kind: WorkKind, retest: Retest): Command => ({
  check: (model) => model.orders.length < 6,
  run: (model, real) => {
    const retests = [...model.open].slice(0, { none: 0, first: 1, all: model.open.size }[retest]);
    model.orders.push({
      kind, phase: 'planned', marks: [], devices: [], answered: new Set(), failing: new Set(), explained: new Set(),
      unsafe: new Set(), retests: new Set(retests),
    });
    real.orders.push(plannedOrder(kind, retests));
  },
  toString: () => `plan(${kind}, ${retest})`,
});

const release = (which: number, marks: Mark[], devices: string[]): Command =>
  commandOf(`release(${marks.join()};${devices.join()})`, (model, real, index) => {
    const order = model.orders[index]!;
    const reasons: string[] = [];
    if (order.phase !== 'planned') reasons.push('not-in-this-state');
    else {
      if (marks.length === 0) reasons.push('no-steps');
      const covered = new Set(marks.flatMap((mark, at) => (mark === 'device' ? [DEVICES[at % 2]] : [])));
      if (isWhole(order) && devices.some((device) => !covered.has(device))) reasons.push('device-without-step');
      if (order.retests.size > 0 && !marks.some(isSafety)) reasons.push('retest-without-check');
    }
    const steps = marks.map(step);
    const given = [...devices];
    if (give(model, real, index, { command: 'release', steps, devices: given }, reasons)) {
      Object.assign(order, { phase: 'released', marks, devices });
      // A later edit of the plan must not reach the order.
      steps[0] = { id: 'later', kind: 'text', text: 'edited' };
      given.push('pos-later');
      expect(real.orders[index]!.steps).toHaveLength(marks.length);
      expect(real.orders[index]!.steps[0]!.id).toBe('step-0');
    }
  }, which);

const move = (which: number, name: 'start' | 'review'): Command =>
  commandOf(name, (model, real, index) => {
    const order = model.orders[index]!;
    const [from, to] = name === 'start' ? (['released', 'started'] as const) : (['completed', 'reviewed'] as const);
    if (give(model, real, index, { command: name }, order.phase === from ? [] : ['not-in-this-state'])) order.phase = to;
  }, which);

const answer = (which: number, at: number, good: boolean, remark: boolean): Command =>
  commandOf(`answer(${at}, ${good}, ${remark})`, (model, real, index) => {
    const order = model.orders[index]!;
    const mark = order.marks[at];
    const reasons: string[] = [];
    if (order.phase !== 'started') reasons.push('not-in-this-state');
    else if (!mark) reasons.push('no-such-step');
    else {
      const cautions = order.marks.flatMap((one, number) => (one === 'caution' && !order.answered.has(number) ? [number] : []));
      if (mark !== 'caution' && cautions.length > 0) reasons.push('cautions-first');
      if (mark === 'caution' && !good) reasons.push('caution-not-confirmed');
      if (mark === 'counter' && !good) reasons.push('beyond-modulus');
      if (mark === 'part' && !good) reasons.push('nothing-done');
      if (mark === 'device' && !good && !remark) reasons.push('remark-needed');
      if (order.failing.has(at) && !remark) reasons.push('remark-needed');
    }
    const given = answerFor(mark ?? 'plain', good, remark);
    if (give(model, real, index, { command: 'answer', stepId: `step-${at}`, answer: given }, reasons)) {
      order.answered.add(at);
      if (isSafety(mark) && !good) order.failing.add(at);
      else order.failing.delete(at);
    }
  }, which);

const report = (which: number, severity: FindingSeverity, at: number): Command =>
  commandOf(`report(${severity}, ${at})`, (model, real, index) => {
    const order = model.orders[index]!;
    const id = `finding-${model.findings++}`;
    const reasons: string[] = [];
    if (order.phase !== 'started') reasons.push('not-in-this-state');
    else if (at >= order.marks.length) reasons.push('no-such-step');
    const finding = { id, severity, text: 'seen', stepId: `step-${at}` };
    const effects = give(model, real, index, { command: 'report', finding }, reasons);
    if (effects) {
      expect(effects.filter(({ effect }) => effect === 'open-corrective')).toHaveLength(severity === 'note' ? 0 : 1);
      if (severity !== 'note') order.explained.add(at);
      if (severity === 'unsafe') {
        order.unsafe.add(id);
        model.open.add(id);
      }
    }
  }, which);

const complete = (which: number, passed: boolean): Command =>
  commandOf(`complete(${passed})`, (model, real, index) => {
    const order = model.orders[index]!;
    const reasons: string[] = [];
    if (order.phase !== 'started') reasons.push('not-in-this-state');
    else {
      const needed = order.marks.flatMap((mark, at) => (mark === 'optional' ? [] : [at]));
      if (needed.some((at) => !order.answered.has(at))) reasons.push('steps-unanswered');
      const checked = new Set([...order.answered].filter((at) => order.marks[at] === 'device').map((at) => DEVICES[at % 2]));
      if (isWhole(order) && order.devices.some((device) => !checked.has(device))) reasons.push('device-unchecked');
      if (passed && order.failing.size > 0) reasons.push('safety-check-failed');
      if (passed && order.unsafe.size > 0) reasons.push('unsafe-finding');
      if (passed && isWhole(order) && [...model.open].some((id) => !order.retests.has(id) && !order.unsafe.has(id))) {
        reasons.push('unsafe-not-retested');
      }
      if (!passed && [...order.failing].some((at) => !order.explained.has(at))) reasons.push('failure-without-finding');
    }
    const effects = give(model, real, index, { command: 'complete', passed, openUnsafe: [...real.open] }, reasons);
    if (!effects) return;
    order.phase = 'completed';
    if (passed) for (const id of order.retests) model.open.delete(id);
    const count = (name: WorkEffect['effect']) => effects.filter(({ effect }) => effect === name).length;
    expect(count('record-completion')).toBe(1);
    expect(count('store-reading')).toBe(order.marks.filter((mark) => mark === 'counter').length);
    expect(count('change-part')).toBe(order.marks.filter((mark) => mark === 'part').length);
    expect(count('issue-certificate')).toBe(isWhole(order) ? 1 : 0);
    expect(count('take-door-out-of-service') + count('open-corrective')).toBe(0);
  }, which);

const cancel = (which: number, reason: string): Command =>
  commandOf(`cancel('${reason}')`, (model, real, index) => {
    const order = model.orders[index]!;
    const reasons: string[] = [];
    if (!['planned', 'released', 'started'].includes(order.phase)) reasons.push('not-in-this-state');
    else {
      if (reason.trim() === '') reasons.push('reason-needed');
      if ([...order.failing].some((at) => !order.explained.has(at))) reasons.push('failure-without-finding');
    }
    const effects = give(model, real, index, { command: 'cancel', reason }, reasons);
    if (!effects) return;
    order.phase = 'cancelled';
    expect(effects).toEqual([]);
  }, which);

const which = fc.nat({ max: 5 });
const at = fc.nat({ max: 6 });
const marks = fc.array(fc.constantFrom<Mark>('caution', 'safety', 'plain', 'optional', 'device', 'device', 'counter', 'part'), { maxLength: 6 });
const devices = fc.subarray(DEVICES);
/** All steps of one order answered well, so that completions are reached often. */
const answerAll = (whichOne: number): Command =>
  commandOf('answer all', (model, real, index) => {
    const order = model.orders[index]!;
    const numbers = order.marks.map((_, number) => number).sort((a, b) => Number(order.marks[b] === 'caution') - Number(order.marks[a] === 'caution'));
    for (const number of numbers) answer(index, number, true, true).run(model, real);
  }, whichOne);

/** An order brought some way by several commands, so that runs get far: released; begun; or with only its completion left. */
const prepared = (kind: WorkKind, retest: Retest, list: Mark[], upTo: 'released' | 'begun' | 'answered'): Command => ({
  check: (model) => model.orders.length < 6,
  run: (model, real) => {
    const index = model.orders.length;
    plan(kind, retest).run(model, real);
    release(index, list, DEVICES).run(model, real);
    if (upTo !== 'released') move(index, 'start').run(model, real);
    if (upTo === 'answered') answerAll(index).run(model, real);
  },
  toString: () => `prepared(${kind}, ${retest}, ${list.join()}, ${upTo})`,
});

const kind = fc.constantFrom<WorkKind>('preventive', 'inspection', 'corrective', 'commissioning');
const retest = fc.constantFrom<Retest>('none', 'first', 'all');
const commands = [
  fc.tuple(kind, retest).map(([one, which]) => plan(one, which)),
  fc.tuple(kind, retest, fc.constantFrom('begun' as const, 'answered' as const)).map(([one, which, upTo]) =>
    prepared(one, which, ['caution', 'device', 'device', 'safety', 'counter', 'part'], upTo)),
  fc.tuple(kind, retest, fc.constantFrom<Mark>('plain', 'safety')).map(([one, which, mark]) => prepared(one, which, [mark], 'released')),
  fc.tuple(which, marks, devices).map(([one, list, positions]) => release(one, list, positions)),
  which.map((one) => move(one, 'start')),
  which.map((one) => move(one, 'review')),
  fc.tuple(which, at, fc.boolean(), fc.boolean()).map(([one, number, good, remark]) => answer(one, number, good, remark)),
  which.map(answerAll),
  fc.tuple(which, fc.constantFrom<FindingSeverity>('note', 'defect', 'unsafe'), at).map(([one, severity, number]) => report(one, severity, number)),
  fc.tuple(which, fc.boolean()).map(([one, passed]) => complete(one, passed)),
  fc.tuple(which, fc.constantFrom('', ' ', 'door replaced', 'planned twice')).map(([one, reason]) => cancel(one, reason)),
];

function runs(options: fc.Parameters<unknown>): Map<string, number> {
  codesSeen.clear();
  const start = () => ({
    model: { orders: [], open: new Set<string>(), findings: 0 } as Model,
    real: { orders: [], frozen: [], open: new Set<string>(), outOfService: false } as Real,
  });
  fc.assert(
    fc.property(fc.commands(commands, { maxCommands: 80, size: 'max' }), (run) => {
      fc.modelRun(start, run);
    }),
    options,
  );
  return codesSeen;
}

describe('work orders of one door against a model', () => {
  it('move, refuse and take the door out of service and back just as the model does', () => {
    expect(runs({ numRuns: 500 }).get('complete')).toBeGreaterThan(0);
  });

  it('meet every command and every refusal that they can', () => {
    // A seed of its own, so that what is met does not depend on luck.
    expect([...runs({ numRuns: 500, seed: 20_261_125 }).keys()].sort()).toEqual([
      'answer', 'beyond-modulus', 'cancel', 'caution-not-confirmed', 'cautions-first', 'complete', 'device-unchecked',
      'device-without-step', 'failure-without-finding', 'no-steps', 'no-such-step', 'not-in-this-state', 'nothing-done',
      'reason-needed', 'release', 'remark-needed', 'report', 'retest-without-check', 'review', 'safety-check-failed', 'start',
      'steps-unanswered', 'unsafe-finding', 'unsafe-not-retested',
    ]);
  });
});
