import {
  applyWorkCommand, type ChecklistItem, CLOCK_AHEAD_MS, defaultForceLimits, deviceChecks, deviceInstant, type GivenAnswer, isolateFirst, isSafetyCheck, plannedOrder,
  type ReleaseInput, type ReleasePosition, releaseSteps, safetyDevicesOf, standing, standingAnswers, type StepValue, testUnderPower, type WorkKind, type WorkOrder, type WorkStep,
} from '@lintel/engine';
import { partKinds } from '@lintel/contract';
import { doorTypeLibrary } from '@lintel/store';
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';

const kinds: WorkKind[] = ['preventive', 'inspection', 'corrective', 'commissioning'];
const position = (kind: string, safetyDevice = true, id = `pos-${kind}`): ReleasePosition => ({ id, kind, name: `The ${kind}`, safetyDevice });
const door = [position('light-beam'), position('bottom-edge'), position('drive-chain', false), position('push-buttons')];
const input = (more: Partial<ReleaseInput> = {}): ReleaseInput => ({
  kind: 'inspection', checklist: [], opening: { widthMm: 3000, heightMm: 3500 }, positions: door, limits: defaultForceLimits, ...more,
});
const stepsOf = (more: Partial<ReleaseInput> = {}): WorkStep[] => releaseSteps(input(more)).steps;
const released = (given: ReleaseInput, retests: string[] = []) => applyWorkCommand(plannedOrder(given.kind, retests), { command: 'release', ...releaseSteps(given) });
const tested = (steps: readonly WorkStep[]): Set<string> => new Set(steps.flatMap((step) => (step.kind === 'test-device' ? [step.positionId] : [])));

const item: fc.Arbitrary<ChecklistItem> = fc.record({
  kind: fc.constantFrom('confirm', 'measure', 'choose', 'photograph', 'read-counter', 'test-device', 'force-test', 'fit-part', 'text'),
  text: fc.constantFrom('Look', ...isolateFirst), unit: fc.constantFrom('N', 'mm', undefined), upper: fc.constantFrom(400, undefined),
  partKind: fc.constantFrom(undefined, undefined, ...partKinds), caution: fc.constantFrom(undefined, true, false), optional: fc.constantFrom(undefined, true),
  options: fc.constantFrom(undefined, ['good', 'bad']), failing: fc.constantFrom(undefined, ['bad']), safety: fc.constant(undefined),
}, { requiredKeys: ['kind', 'text'] });
const positions = fc.uniqueArray(fc.record({ kind: fc.constantFrom(...partKinds), safetyDevice: fc.boolean() }), { selector: ({ kind }) => kind, maxLength: 12 })
  .map((list) => list.map(({ kind, safetyDevice }) => position(kind, safetyDevice)));

describe('steps of an order', () => {
  it('can be released for every kind of work, checklist and door; no safety device of an inspection is missed', () => {
    fc.assert(fc.property(fc.constantFrom(...kinds), fc.array(item, { maxLength: 12 }), positions, fc.boolean(), (kind, checklist, places, retest) => {
      const devices = places.filter(({ safetyDevice }) => safetyDevice).map(({ id }) => id);
      const given = input({ kind, checklist, positions: places, parts: ['drive-chain'], retests: retest ? devices : [] });
      const result = released(given, retest && devices.length > 0 ? ['f1'] : []);
      expect('refused' in result ? result : 'released').toBe('released');
      const { steps } = releaseSteps(given);
      expect(releaseSteps(given).steps).toEqual(steps);
      expect(steps.filter((step) => step.kind === 'force-test').length).toBeLessThanOrEqual(1);
      const cautions = steps.map((step) => step.kind === 'confirm' && step.caution === true);
      expect(cautions.lastIndexOf(true)).toBe(cautions.filter(Boolean).length - 1);
      expect(cautions[0]).toBe(true);
      if (kind === 'inspection' || kind === 'commissioning' || retest) for (const id of devices) expect(tested(steps).has(id)).toBe(true);
    }), { numRuns: 400 });
  });

  it('begin with the cautions of the kind of work: power off for work on the door, nobody near for tests', () => {
    const cautionsOf = (kind: WorkKind) => stepsOf({ kind }).filter((step) => step.kind === 'confirm' && step.caution).map(({ text }) => text);
    expect(cautionsOf('inspection')).toEqual(testUnderPower);
    expect(cautionsOf('corrective')).toEqual(isolateFirst);
    // A checklist's own come in their place, also where it was written before steps could be marked.
    expect(stepsOf({ kind: 'preventive', checklist: [{ kind: 'confirm', text: testUnderPower[1]! }, { kind: 'confirm', text: 'Clean' }] }))
      .toEqual([{ id: 'c1', kind: 'confirm', text: testUnderPower[1], caution: true }, { id: 'c2', kind: 'confirm', text: 'Clean' }]);
  });

  it('make one step of each position that a line is about, none where the door has no such position', () => {
    const two = [position('light-beam', true, 'low'), position('light-beam', true, 'high')];
    const checklist: ChecklistItem[] = [{ kind: 'test-device', text: 'Beam', partKind: 'light-beam' }, { kind: 'test-device', text: 'Edge', partKind: 'bottom-edge' }];
    const steps = stepsOf({ kind: 'preventive', checklist, positions: two }).filter(({ kind }) => kind === 'test-device');
    expect(steps).toMatchObject([{ id: 'c1:low', text: 'Beam (The light-beam)', positionId: 'low', device: 'light-beam' }, { id: 'c1:high', positionId: 'high' }]);
  });

  it('give a device that the checklist leaves out its function tests, with criterion and source', () => {
    const steps = stepsOf({ checklist: [{ kind: 'test-device', text: 'Beam', partKind: 'light-beam' }] });
    const edge = steps.filter((step) => step.kind === 'test-device' && step.positionId === 'pos-bottom-edge');
    const checks = deviceChecks.filter(({ device, kind }) => device === 'bottom-edge' && kind === 'function');
    expect(edge.map(({ help, source }) => [help, source])).toEqual(checks.map(({ criterion, source }) => [criterion, source]));
    expect(steps.filter((step) => step.kind === 'test-device' && step.positionId === 'pos-light-beam').length).toBe(1);
    // A kind of device that no table knows is tested by its maker's word.
    expect(stepsOf({ positions: [position('control-board')] }).filter(({ kind }) => kind === 'test-device')).toMatchObject([{ device: 'other' }]);
  });

  it('hold closing force in one step with its opening and limits, also from checklists that had three and two', () => {
    const old: ChecklistItem[] = [
      ...[50, 300, 2500].map((height): ChecklistItem => ({ kind: 'force-test', text: `at ${height}`, unit: 'N', upper: 400 })),
      { kind: 'measure', text: 'static', unit: 'N', upper: 150 }, { kind: 'measure', text: 'residual', unit: 'N', upper: 25 },
      { kind: 'measure', text: 'pull on the edge', unit: 'mm', upper: 5 },
      { kind: 'choose', text: 'Result: safe; not safe' }, { kind: 'test-device', text: 'Gate lock' },
    ];
    const steps = stepsOf({ checklist: old, positions: [] }).filter((step) => !(step.kind === 'confirm' && step.caution));
    expect(steps.map(({ id, kind }) => [id, kind])).toEqual([['c1', 'force-test'], ['c6', 'measure'], ['c7', 'text'], ['c8', 'confirm']]);
    expect(steps[0]).toMatchObject({ opening: { widthMm: 3000, heightMm: 3500 }, limits: { name: 'EN 12453', version: 1 } });
    // What was a device test at no position stays a safety check.
    expect(isSafetyCheck(steps[3]!)).toBe(true);
  });

  it('take the modulus of the counter, end with handing back, and let parts be changed before it', () => {
    const checklist: ChecklistItem[] = [{ kind: 'confirm', text: 'Clean' }, { kind: 'read-counter', text: 'Counter' }, { kind: 'confirm', text: 'Handed back' }];
    const steps = stepsOf({ kind: 'preventive', checklist, counterModulus: 1_000_000, parts: ['drive-chain'] }).filter((step) => !(step.kind === 'confirm' && step.caution));
    expect(steps.map(({ id }) => id)).toEqual(['c1', 'fit:pos-drive-chain', 'c2', 'c3']);
    expect(steps[2]).toMatchObject({ kind: 'read-counter', modulus: 1_000_000 });
    expect(steps[1]).toMatchObject({ optional: true, positionId: 'pos-drive-chain' });
  });

  it('of a retest test its positions again, under power, before handing back', () => {
    const steps = stepsOf({ kind: 'corrective', retests: ['pos-light-beam'] });
    expect([...tested(steps)]).toEqual(['pos-light-beam']);
    const power = steps.findIndex(({ id }) => id === 'power-on');
    expect(steps.slice(power).map(({ kind }) => kind)).toEqual(['confirm', 'test-device', 'test-device', 'read-counter', 'confirm']);
  });

  it('come out of every plan of the library with each device tested once, and one force test', () => {
    for (const { positions: own, plans, doorType } of doorTypeLibrary) {
      const places = own.map(({ kind, name, safetyDevice }) => ({ id: kind, kind, name, safetyDevice: safetyDevice ?? false }));
      for (const { tasks } of plans) for (const { checklist = [], safety, parts = [] } of tasks) {
        const kind = safety ? 'inspection' : 'preventive';
        const given = input({ kind, checklist, positions: places, parts, opening: { widthMm: doorType.widthMm, heightMm: doorType.heightMm } });
        expect(released(given)).toMatchObject({ order: { state: 'released' } });
        const { steps } = releaseSteps(given);
        if (!safety) continue;
        const devices = places.filter(({ safetyDevice }) => safetyDevice);
        expect(devices.every(({ kind: of }) => safetyDevicesOf(of).length > 0)).toBe(true);
        expect(steps.filter((step) => step.kind === 'test-device').length).toBe(devices.length);
      }
    }
  });
});

describe('an answer over its base', () => {
  const plain: WorkStep = { id: 's', kind: 'text', text: 't' };
  const check: WorkStep = { id: 's', kind: 'test-device', text: 't', positionId: 'p', device: 'light-beam' };
  const said = (text: string): StepValue => ({ kind: 'text', outcome: 'recorded', text });
  const stood = (text = 'a', accountId = 'anna'): GivenAnswer => ({ id: 'n', stepId: 's', accountId, counts: true, value: said(text) });

  it.each([
    ['nobody answered before', plain, { accountId: 'ben', value: said('b') }, undefined, 'counts'],
    ['it was given over the one that stands', plain, { accountId: 'ben', value: said('b'), baseId: 'n' }, stood(), 'counts'],
    ['the same person answered', plain, { accountId: 'anna', value: said('b') }, stood(), 'counts'],
    ['both say the same', plain, { accountId: 'ben', value: said('a') }, stood(), 'counts'],
    ['they differ', plain, { accountId: 'ben', value: said('b') }, stood(), 'contested'],
    ['they differ in the remark alone', plain, { accountId: 'ben', value: { ...said('a'), remark: 'x' } }, stood(), 'contested'],
    ['it was given over an older one', plain, { accountId: 'ben', value: said('b'), baseId: 'm' }, stood(), 'contested'],
    ['both say the same of a safety check', check, { accountId: 'ben', value: said('a') }, stood(), 'contested'],
    ['a safety check was seen before', check, { accountId: 'ben', value: said('a'), baseId: 'n' }, stood(), 'counts'],
    ['it settles without having seen what stands', plain, { accountId: 'anna', value: said('a'), settlesId: 'c' }, stood(), 'contested'],
    ['it settles and has seen it', plain, { accountId: 'anna', value: said('a'), baseId: 'n', settlesId: 'c' }, stood(), 'counts'],
  ] as const)('%s', (_, step, given, newest, expected) => {
    expect(standing(step, given, newest)).toBe(expected);
  });

  it('stays a contradiction until one that counts settles it; of one person the last is meant', () => {
    const answer = (id: string, accountId: string, counts: boolean, settlesId?: string): GivenAnswer => ({ id, stepId: 's', accountId, counts, value: said(id), settlesId });
    const open = (...all: GivenAnswer[]) => standingAnswers(all).conflicts.map(({ id }) => id);
    const [a, b1, b2] = [answer('a', 'anna', true), answer('b1', 'ben', false), answer('b2', 'ben', false)];
    expect(open(a, b1)).toEqual(['b1']);
    expect(open(a, b1, b2)).toEqual(['b2']);
    expect(open(a, b1, b2, answer('c', 'cara', false))).toEqual(['b2', 'c']);
    expect(open(a, b1, b2, answer('s', 'anna', false, 'b2'))).toEqual(['b2', 's']);
    expect(open(a, b1, b2, answer('s', 'anna', true, 'b2'))).toEqual([]);
  });

  it('whatever the devices send, an order with an open contradiction is not completed, and a contested failure not passed', () => {
    const order: WorkOrder = {
      ...plannedOrder('corrective'), state: 'started', steps: [check], answers: [{ stepId: 's', value: { kind: 'test-device', outcome: 'passed', positionId: 'p' } }],
      conflicts: [{ stepId: 's', value: { kind: 'test-device', outcome: 'failed', positionId: 'p', remark: 'dead' } }],
    };
    for (const passed of [true, false]) {
      expect(applyWorkCommand(order, { command: 'complete', passed, openUnsafe: [] })).toEqual({ refused: 'conflict-unsettled', facts: { stepIds: ['s'] } });
    }
    // Cancelling does not make a contested failure vanish either.
    expect(applyWorkCommand(order, { command: 'cancel', reason: 'no time' })).toMatchObject({ refused: 'failure-without-finding' });
    const again = { command: 'answer', stepId: 's', answer: { kind: 'test-device', passed: true } } as const;
    expect(applyWorkCommand(order, again)).toMatchObject({ refused: 'remark-needed' });
  });
});

describe('the instant of a device', () => {
  it('is its own between the earliest possible and now, else the server’s; never after the server’s', () => {
    fc.assert(fc.property(fc.integer({ min: 0, max: 1e12 }), fc.integer({ min: 0, max: 1e9 }), fc.integer({ min: -2e9, max: 2e9 }), (server, span, off) => {
      const instant = deviceInstant(server + off, server, server - span);
      expect(instant).toBeLessThanOrEqual(server);
      expect(instant).toBeGreaterThanOrEqual(server - span);
      if (off <= 0 && off >= -span) expect(instant).toBe(server + off);
      if (off > CLOCK_AHEAD_MS || off < -span) expect(instant).toBe(server);
    }));
    expect([deviceInstant(undefined, 5, 0), deviceInstant(NaN, 5, 0)]).toEqual([5, 5]);
  });
});
