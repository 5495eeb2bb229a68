import { isSafetyCheck, type WorkStep } from './steps.js';
import type { WorkCommand, WorkKind, WorkOrder, WorkRefusal } from './types.js';

/** Kinds of work that check every safety device of the door. */
export function checksWholeDoor(kind: WorkKind): boolean {
  return kind === 'inspection' || kind === 'commissioning';
}

/** Why an order cannot be released with these steps. */
export function releaseRefusal(
  order: WorkOrder,
  { steps, devices }: Extract<WorkCommand, { command: 'release' }>,
): WorkRefusal | undefined {
  if (steps.length === 0) return { refused: 'no-steps', facts: {} };
  const ids = new Set<string>();
  for (const step of steps) {
    if (ids.has(step.id)) return { refused: 'step-twice', facts: { stepId: step.id } };
    ids.add(step.id);
    const why = stepFault(step);
    if (why) return { refused: 'step-not-usable', facts: { stepId: step.id, why } };
  }
  if (checksWholeDoor(order.kind)) {
    const tested = new Set(steps.flatMap((step) => (step.kind === 'test-device' && !step.optional ? [step.positionId] : [])));
    const positionIds = devices.filter((device) => !tested.has(device));
    if (positionIds.length > 0) return { refused: 'device-without-step', facts: { positionIds } };
  }
  if (order.retests.length > 0 && !steps.some((step) => isSafetyCheck(step) && !step.optional)) {
    return { refused: 'retest-without-check', facts: { findingIds: order.retests } };
  }
  return undefined;
}

/** A step that no answer could ever satisfy, or that would pass whatever is answered. */
function stepFault(step: WorkStep): string | undefined {
  if (step.kind === 'measure') {
    const { lower = -Infinity, upper = Infinity, resolution = 1 } = step;
    if (!(lower <= upper)) return 'lower-above-upper';
    if (!(resolution > 0 && Number.isFinite(resolution))) return 'resolution-not-positive';
    return step.safety && step.lower === undefined && step.upper === undefined ? 'safety-without-limit' : undefined;
  }
  if (step.kind === 'choose') {
    if (step.options.length === 0) return 'no-options';
    if (step.failing?.some((option) => !step.options.includes(option))) return 'failing-not-an-option';
    return step.safety && !step.failing?.length ? 'safety-without-limit' : undefined;
  }
  return undefined;
}
