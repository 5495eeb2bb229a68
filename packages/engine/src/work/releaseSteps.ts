import { checksOf, type ForceLimitTable, type Opening, type SafetyDevice, safetyDevicesOf } from '../safety/index.js';
import { cautionsOf, isStandardCaution, testUnderPower } from './cautions.js';
import { checksWholeDoor } from './releaseGuards.js';
import type { StepKind, WorkStep } from './steps.js';
import type { WorkKind } from './types.js';

/** One step of a task's checklist, before it is known for which door. */
export interface ChecklistItem {
  kind: StepKind;
  text: string;
  unit?: string | undefined;
  lower?: number | undefined;
  upper?: number | undefined;
  resolution?: number | undefined;
  /** At this position; or, by `partKind`, at each position that holds such a part. */
  positionId?: string | undefined;
  partKind?: string | undefined;
  options?: readonly string[] | undefined;
  failing?: readonly string[] | undefined;
  caution?: boolean | undefined;
  safety?: boolean | undefined;
  optional?: boolean | undefined;
  least?: number | undefined;
}

export interface ReleasePosition {
  id: string;
  /** Kind of part. */
  kind: string;
  name: string;
  safetyDevice: boolean;
}

export interface ReleaseInput {
  kind: WorkKind;
  checklist: readonly ChecklistItem[];
  opening: Opening;
  positions: readonly ReleasePosition[];
  /** The fitted counter shows values below this only. */
  counterModulus?: number | undefined;
  limits: ForceLimitTable;
  /** Kinds of part that the order may take: each of their positions gets a step at which one can be changed. */
  parts?: readonly string[] | undefined;
  /** Positions that an unsafe finding is about; of a finding about none in particular, all safety devices. Empty: no retest. */
  retests?: readonly string[] | undefined;
}

const HAND_BACK: readonly ChecklistItem[] = [
  { kind: 'read-counter', text: 'Cycle counter' },
  { kind: 'confirm', text: 'Tools and people clear; door run through three full cycles; handed back.' },
];
const FORCE_TEXT = 'Closing force at each measuring point, three times each; judged by the mean.';
/** What an order without a task's checklist is made of. */
const unplanned: Readonly<Record<WorkKind, readonly ChecklistItem[]>> = {
  inspection: [{ kind: 'force-test', text: FORCE_TEXT }, { kind: 'photograph', text: 'The door, closed, from the front', optional: true }],
  commissioning: [{ kind: 'force-test', text: FORCE_TEXT }, { kind: 'photograph', text: 'The door, closed, from the front' }],
  corrective: [{ kind: 'text', text: 'What was found, and what was done' }, { kind: 'photograph', text: 'What was done', optional: true }],
  preventive: [{ kind: 'text', text: 'What was done' }],
};

/**
 * The steps of an order for one door, from its task's checklist, and the positions of the door's safety devices: cautions first,
 * then the checklist with a step for each position that an item is about, then what must not be missed. An inspection or
 * commissioning has the function tests of every safety device that the checklist leaves out, a retest those of its positions;
 * closing force is one step, however many lines the checklist has for it. Ids follow from the place in the checklist and the position: equal inputs make equal
 * steps. A checklist written before steps could name positions or options stays usable: a device test at no position
 * becomes a safety confirmation, a choice without options a text. O(checklist × positions).
 */
export function releaseSteps(input: ReleaseInput): { steps: WorkStep[]; devices: string[] } {
  const { kind, positions, checklist: given } = input;
  const devices = positions.filter(({ safetyDevice }) => safetyDevice).map(({ id }) => id);
  const planned = given.length > 0;
  const checklist = planned ? given : [...unplanned[kind], ...HAND_BACK];
  const end = handBackFrom(checklist);
  const rows = checklist.map((item, index) => ({ item, index }));
  const cautions = rows.filter(({ item }) => isCaution(item));
  const work = rows.filter(({ item }) => !isCaution(item));
  const body = work.filter(({ index }) => index < end).flatMap(({ index }) => stepsOf(input, checklist, index));
  const tail = work.filter(({ index }) => index >= end).flatMap(({ index }) => stepsOf(input, checklist, index));
  const tested = new Set([...body, ...tail].flatMap((step) => (step.kind === 'test-device' && !step.optional ? [step.positionId] : [])));
  const left = checksWholeDoor(kind) ? positions.filter(({ id, safetyDevice }) => safetyDevice && !tested.has(id)) : [];
  const changed = positions.filter((position) => input.parts?.includes(position.kind));
  return {
    devices,
    steps: [
      ...cautionSteps(kind, cautions),
      ...(planned ? [] : left.flatMap((position) => functionTests('test', position))),
      ...body,
      ...(planned ? left.flatMap((position) => functionTests('test', position)) : []),
      ...changed.filter(({ id }) => !body.some((step) => step.kind === 'fit-part' && step.positionId === id)).map(fitStep),
      ...retestSteps(input, new Set([...tested, ...left.map(({ id }) => id)])),
      ...tail,
    ],
  };
}

const isCaution = ({ kind, text, caution }: ChecklistItem): boolean => kind === 'confirm' && (caution ?? isStandardCaution(text));

/** From the last counter reading on, where only confirmations follow it: what is done when the work is done. */
function handBackFrom(checklist: readonly ChecklistItem[]): number {
  const last = checklist.findLastIndex(({ kind }) => kind === 'read-counter');
  return last >= 0 && checklist.slice(last + 1).every(({ kind }) => kind === 'confirm') ? last : checklist.length;
}

function cautionSteps(kind: WorkKind, own: readonly { item: ChecklistItem; index: number }[]): WorkStep[] {
  const texts = own.length > 0
    ? own.map(({ item, index }) => ({ id: `c${index + 1}`, text: item.text }))
    : cautionsOf(kind).map((text, at) => ({ id: `caution-${at + 1}`, text }));
  return texts.map(({ id, text }) => ({ id, kind: 'confirm', text, caution: true }));
}

/** The steps of one line of the checklist: one, or one a position, or none where the door has no such position. */
function stepsOf(input: ReleaseInput, checklist: readonly ChecklistItem[], index: number): WorkStep[] {
  const item = checklist[index]!;
  const id = `c${index + 1}`;
  if (item.kind === 'force-test') return isFirstForceTest(checklist, index) ? [forceStep(id, input, checklist)] : [];
  if (belongsToForceTest(checklist, index)) return [];
  if (item.positionId === undefined && item.partKind === undefined) return [plainStep(id, item, input)];
  const at = input.positions.filter((position) => (item.positionId === undefined ? position.kind === item.partKind : position.id === item.positionId));
  return at.map((position) => {
    const text = at.length > 1 ? `${item.text} (${position.name})` : item.text;
    return stepAt(`${id}:${position.id}`, { ...item, text }, position, input);
  });
}

function stepAt(id: string, item: ChecklistItem, position: ReleasePosition, input: ReleaseInput): WorkStep {
  const { text, optional } = item;
  const base = { id, text, ...(optional && { optional }) };
  if (item.kind === 'test-device') {
    const [device = 'other'] = safetyDevicesOf(position.kind);
    const check = checksOf(device).find(({ kind }) => kind === 'function');
    return { ...base, kind: 'test-device', positionId: position.id, device, ...(check && { help: check.criterion, source: check.source }) };
  }
  if (item.kind === 'fit-part') return { ...base, kind: 'fit-part', positionId: position.id };
  return plainStep(id, item, input);
}

function plainStep(id: string, item: ChecklistItem, { counterModulus }: ReleaseInput): WorkStep {
  const { kind, text, optional, safety, unit, options, failing, least } = item;
  const base = { id, text, ...(optional && { optional }) };
  const marked = { ...base, ...(safety && { safety }) };
  switch (kind) {
    case 'confirm':
      return { ...marked, kind };
    case 'measure':
      return { ...marked, kind, unit: unit ?? '', ...bounds(item) };
    case 'choose':
      if (options === undefined || options.length === 0) return { ...base, kind: 'text' };
      return { ...marked, kind, options, ...(failing && { failing }) };
    case 'photograph':
      return { ...base, kind, ...(least && { least }) };
    case 'read-counter':
      return { ...base, kind, ...(counterModulus && { modulus: counterModulus }) };
    case 'test-device':
      // Of no position that is known: it stays a safety check, but stands for no device.
      return { ...base, kind: 'confirm', safety: true };
    default:
      return { ...base, kind: 'text' };
  }
}

function bounds({ lower, upper, resolution }: ChecklistItem): { lower?: number; upper?: number; resolution?: number } {
  return { ...(lower !== undefined && { lower }), ...(upper !== undefined && { upper }), ...(resolution !== undefined && { resolution }) };
}

const isFirstForceTest = (checklist: readonly ChecklistItem[], index: number): boolean =>
  checklist.findIndex(({ kind }) => kind === 'force-test') === index;

/** Forces of single phases that older checklists measured by themselves, right behind the force tests: the one step has them. */
function belongsToForceTest(checklist: readonly ChecklistItem[], index: number): boolean {
  const newton = ({ kind, unit }: ChecklistItem): boolean => kind === 'measure' && unit === 'N';
  if (!newton(checklist[index]!)) return false;
  const before = checklist.slice(0, index).findLast((item) => !newton(item));
  return before?.kind === 'force-test';
}

function forceStep(id: string, { opening, limits }: ReleaseInput, checklist: readonly ChecklistItem[]): WorkStep {
  const tests = checklist.filter(({ kind }) => kind === 'force-test');
  const text = tests.length === 1 ? tests[0]!.text : FORCE_TEXT;
  return { id, kind: 'force-test', text, opening, limits };
}

/** The function tests of a device at a position; of a kind that no table knows, one by the maker's word. */
function functionTests(prefix: 'test' | 'retest', { id, kind, name }: ReleasePosition): WorkStep[] {
  const tests = safetyDevicesOf(kind).flatMap((device: SafetyDevice) => checksOf(device).filter((check) => check.kind === 'function'));
  if (tests.length === 0) {
    const text = `${name}: function test as the maker says.`;
    return [{ id: `${prefix}:${id}`, kind: 'test-device', text, source: 'common practice, no source', positionId: id, device: 'other' }];
  }
  return tests.map((check) => ({
    id: `${prefix}:${id}:${check.id}`, kind: 'test-device', text: `${name}: ${check.test}`, help: check.criterion, source: check.source,
    positionId: id, device: check.device,
  }));
}

const fitStep = ({ id, name }: ReleasePosition): WorkStep => ({
  id: `fit:${id}`, kind: 'fit-part', text: `${name}: changed, if it was`, positionId: id, optional: true,
});

/** Tests need power: what was isolated for the work is switched on again, with the cautions for that. */
function retestSteps({ kind, retests, positions }: ReleaseInput, tested: ReadonlySet<string>): WorkStep[] {
  const steps = positions.filter(({ id }) => retests?.includes(id) && !tested.has(id)).flatMap((position) => functionTests('retest', position));
  if (steps.length === 0 || checksWholeDoor(kind)) return steps;
  return [{ id: 'power-on', kind: 'confirm', text: `Power on again for the tests. ${testUnderPower[1]}` }, ...steps];
}
