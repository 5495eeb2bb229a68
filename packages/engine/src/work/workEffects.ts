import { valueOf } from './completeGuards.js';
import { checksWholeDoor } from './releaseGuards.js';
import type { Finding, WorkCommand, WorkEffect, WorkOrder } from './types.js';

/** What follows from a command on the order as it is after it. */
export function effectsOf(order: WorkOrder, command: WorkCommand): WorkEffect[] {
  switch (command.command) {
    case 'report':
      return ofFinding(command.finding);
    case 'complete':
      return [
        { effect: 'record-completion', passed: command.passed },
        ...bookings(order),
        ...(command.passed ? retested(order, command.openUnsafe) : []),
        ...(checksWholeDoor(order.kind) ? [{ effect: 'issue-certificate' as const, passed: command.passed }] : []),
      ];
    default:
      return [];
  }
}

/**
 * At once, and only once: a finding must not wait for an order that may never be completed, and an order completed late must
 * not take a door out again that another one has tested and passed meanwhile.
 */
function ofFinding({ id, severity }: Finding): WorkEffect[] {
  if (severity === 'note') return [];
  const corrective: WorkEffect = { effect: 'open-corrective', findingId: id, severity };
  return severity === 'unsafe' ? [{ effect: 'take-door-out-of-service', findingIds: [id] }, corrective] : [corrective];
}

/** Readings and parts, in the order of the steps. */
function bookings(order: WorkOrder): WorkEffect[] {
  return order.steps.flatMap(({ id: stepId }): WorkEffect[] => {
    const value = valueOf(order, stepId);
    if (value?.kind === 'read-counter') return [{ effect: 'store-reading', stepId, value: value.value }];
    if (value?.kind !== 'fit-part') return [];
    const { positionId, removed, fitted } = value;
    return [{ effect: 'change-part', stepId, positionId, ...(removed && { removed }), ...(fitted && { fitted }) }];
  });
}

/** The door goes back into service just when this retest leaves no unsafe finding open. */
function retested(order: WorkOrder, openUnsafe: readonly string[]): WorkEffect[] {
  const cleared = openUnsafe.filter((id) => order.retests.includes(id));
  if (cleared.length === 0) return [];
  const effects: WorkEffect[] = [{ effect: 'clear-unsafe', findingIds: cleared }];
  return cleared.length === openUnsafe.length ? [...effects, { effect: 'return-door-to-service' }] : effects;
}
