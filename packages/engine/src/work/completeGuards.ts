import type { CompetenceKind } from '../safety/index.js';
import { checksWholeDoor } from './releaseGuards.js';
import { isSafetyCheck, type StepValue } from './steps.js';
import type { WorkCommand, WorkOrder, WorkRefusal } from './types.js';

/** The value of a step that counts: its last. */
export function valueOf(order: WorkOrder, stepId: string): StepValue | undefined {
  return order.answers.findLast((answered) => answered.stepId === stepId)?.value;
}

/** Findings of this order that say the door is unsafe. */
function unsafeFindings(order: WorkOrder): string[] {
  return order.findings.filter(({ severity }) => severity === 'unsafe').map(({ id }) => id);
}

/** What whoever passes the order has to be competent for: inspecting, and measuring forces where it measures them. */
export function competencesFor({ kind, steps }: Pick<WorkOrder, 'kind' | 'steps'>): CompetenceKind[] {
  if (!checksWholeDoor(kind)) return [];
  return ['safety-inspection', ...(steps.some((step) => step.kind === 'force-test') ? (['force-measurement'] as const) : [])];
}

/** Why an order cannot be completed, or not as passed. */
export function completeRefusal(
  order: WorkOrder,
  { passed, openUnsafe, lacking = [] }: Extract<WorkCommand, { command: 'complete' }>,
): WorkRefusal | undefined {
  const unchecked = checksWholeDoor(order.kind) ? uncheckedDevices(order) : [];
  if (unchecked.length > 0) return { refused: 'device-unchecked', facts: { positionIds: unchecked } };
  const unanswered = order.steps.filter(({ id, optional }) => !optional && !valueOf(order, id)).map(({ id }) => id);
  if (unanswered.length > 0) return { refused: 'steps-unanswered', facts: { stepIds: unanswered } };
  const contested = (order.conflicts ?? []).map(({ stepId }) => stepId);
  if (contested.length > 0) return { refused: 'conflict-unsettled', facts: { stepIds: [...new Set(contested)] } };
  if (!passed) return unreportedFailure(order);
  // Only passing asks for a competent person: that a door is not safe may be said by anybody.
  const missing = competencesFor(order).filter((kind) => lacking.includes(kind));
  return missing.length > 0 ? { refused: 'not-competent', facts: { kinds: missing } } : passRefusal(order, openUnsafe);
}

/** A failed safety check must leave a finding behind, also where it is contested or the order is cancelled: it cannot vanish. */
export function unreportedFailure(order: WorkOrder): WorkRefusal | undefined {
  const stepIds = failedSafetyChecks(order).filter(
    (id) => !order.findings.some(({ stepId, severity }) => stepId === id && severity !== 'note'),
  );
  return stepIds.length > 0 ? { refused: 'failure-without-finding', facts: { stepIds } } : undefined;
}

function passRefusal(order: WorkOrder, openUnsafe: readonly string[]): WorkRefusal | undefined {
  const failed = failedSafetyChecks(order);
  if (failed.length > 0) return { refused: 'safety-check-failed', facts: { stepIds: failed } };
  const unsafe = unsafeFindings(order);
  if (unsafe.length > 0) return { refused: 'unsafe-finding', facts: { findingIds: unsafe } };
  const untested = checksWholeDoor(order.kind) ? openUnsafe.filter((id) => !order.retests.includes(id)) : [];
  return untested.length > 0 ? { refused: 'unsafe-not-retested', facts: { findingIds: untested } } : undefined;
}

function failedSafetyChecks(order: WorkOrder): string[] {
  return order.steps
    .filter((step) => isSafetyCheck(step) && (valueOf(order, step.id)?.outcome === 'failed' || isContestedAsFailed(order, step.id)))
    .map(({ id }) => id);
}

/** Did somebody else find the step failing, with nobody having settled it? */
export function isContestedAsFailed(order: WorkOrder, stepId: string): boolean {
  return order.conflicts?.some((one) => one.stepId === stepId && one.value.outcome === 'failed') ?? false;
}

function uncheckedDevices(order: WorkOrder): string[] {
  return order.devices.filter(
    (device) =>
      !order.steps.some((step) => step.kind === 'test-device' && step.positionId === device && valueOf(order, step.id)),
  );
}
