import type { FindingRow, TechnicianCommand, WholeWorkOrder } from '@lintel/contract';
import { applyWorkCommand, type WorkCommand, type WorkOrder, type WorkRefusal } from '@lintel/engine';

export interface Doer {
  id: string;
  name: string;
}

export interface Made {
  id: string;
  command: TechnicianCommand;
  madeAt: string;
}

/** The order as the engine's rules see it. */
export function engineOrder(order: WholeWorkOrder): WorkOrder {
  return {
    kind: order.kind,
    state: order.state,
    steps: order.steps,
    devices: order.devices,
    answers: order.answers.filter(({ counts }) => counts).map(({ stepId, value }) => ({ stepId, value })),
    conflicts: order.answers
      .filter(({ id }) => order.conflicts.some(({ contestedId }) => contestedId === id))
      .map(({ stepId, value }) => ({ stepId, value })),
    findings: order.findings.map(({ id, severity, text, stepId }) => ({ id, severity, text, ...(stepId !== null && { stepId }) })),
    retests: order.retests.map(({ id }) => id),
    ...(order.passed !== null && { passed: order.passed }),
    ...(order.cancelReason !== null && { cancelReason: order.cancelReason }),
  };
}

/**
 * The order after something done on this device, by the rules that the server goes by; or why it is refused. `openUnsafe`:
 * the unsafe findings open on the door as far as this device knows. The order given is not changed.
 */
export function applyCommand(order: WholeWorkOrder, made: Made, doer: Doer, openUnsafe: readonly string[]): WholeWorkOrder | WorkRefusal {
  const { command } = made;
  switch (command.command) {
    case 'record-time':
    case 'use-part':
    case 'sign':
      return beside(order, made, doer);
    case 'start':
    case 'answer':
    case 'report':
    case 'complete': {
      const outcome = applyWorkCommand(engineOrder(order), forEngine(command, openUnsafe));
      if (!('refused' in outcome)) return merged(order, outcome.order, made, doer);
      // A finding waits for nothing: where the order takes none any more, the server has it as the door's own.
      if (command.command !== 'report' || outcome.refused !== 'not-in-this-state') return outcome;
      return { ...order, findings: [...order.findings, findingRow(order, command.finding, made, doer)] };
    }
  }
}

type RuledCommand = Extract<TechnicianCommand, { command: 'start' | 'answer' | 'report' | 'complete' }>;

function forEngine(command: RuledCommand, openUnsafe: readonly string[]): WorkCommand {
  switch (command.command) {
    case 'start':
      return { command: 'start' };
    case 'answer':
      return { command: 'answer', stepId: command.stepId, answer: command.answer };
    case 'report': {
      const { id, severity, text, stepId } = command.finding;
      return { command: 'report', finding: { id, severity, text, ...(stepId !== undefined && { stepId }) } };
    }
    case 'complete':
      return { command: 'complete', passed: command.passed, openUnsafe };
  }
}

/** The engine's order put back into the whole one, with who and when. */
function merged(order: WholeWorkOrder, after: WorkOrder, made: Made, doer: Doer): WholeWorkOrder {
  const { command, madeAt } = made;
  const moved = { ...order, state: after.state };
  switch (command.command) {
    case 'start':
      return { ...moved, startedAt: madeAt };
    case 'complete':
      return { ...moved, passed: command.passed, completedAt: madeAt, completedById: doer.id, completedByName: doer.name };
    case 'report':
      return { ...moved, findings: [...order.findings, findingRow(order, command.finding, made, doer)] };
    case 'answer': {
      const { value, stepId } = after.answers.at(-1)!;
      const { baseId = null, settlesId = null } = command;
      const answer = { id: made.id, stepId, value, baseId, settlesId, counts: true, accountId: doer.id, accountName: doer.name, at: madeAt, deviceAt: madeAt };
      const conflicts = order.conflicts.filter(({ contestedId }) => contestedId !== settlesId);
      return { ...moved, answers: [...order.answers, answer], conflicts, conflictCount: conflicts.length };
    }
    default:
      return moved;
  }
}

function findingRow(
  order: WholeWorkOrder,
  given: Extract<TechnicianCommand, { command: 'report' }>['finding'],
  { madeAt }: Made,
  doer: Doer,
): FindingRow {
  const { id, severity, text, stepId = null, positionId = null, photoIds = [] } = given;
  const { doorId, doorName, siteId, siteName, ownerId, ownerName } = order;
  return {
    id, doorId, doorName, siteId, siteName, ownerId, ownerName, workOrderId: order.id, workOrderNumber: order.number, stepId, positionId,
    positionName: null, severity, text, photoIds, foundAt: madeAt, accountId: doer.id, accountName: doer.name, correctiveId: null,
    correctiveNumber: null, open: true, clearedAt: null, clearedById: null, resolution: null, version: 1,
  };
}

/** What hangs on an order without changing its state: time and parts from its release on, a signature once it is begun. */
function beside(order: WholeWorkOrder, { id, command, madeAt }: Made, doer: Doer): WholeWorkOrder | WorkRefusal {
  const taken = command.command === 'sign' ? ['started', 'completed'] : ['released', 'started', 'completed', 'reviewed', 'cancelled'];
  if (!taken.includes(order.state)) {
    return { refused: 'not-in-this-state', facts: { state: order.state, command: command.command, allowed: [] } };
  }
  switch (command.command) {
    case 'record-time': {
      const { kind, minutes, startedAt } = command;
      return { ...order, times: [...order.times, { id, kind, minutes, startedAt, accountId: doer.id, accountName: doer.name }] };
    }
    case 'use-part': {
      const { kind, code = null, name = null, quantity, positionId = null } = command;
      return { ...order, usedParts: [...order.usedParts, { id, kind, code, name, quantity, positionId }] };
    }
    case 'sign': {
      const { imageId, signerName } = command;
      return { ...order, signatures: [...order.signatures, { id, imageId, signerName, at: madeAt, deviceAt: madeAt, accountId: doer.id }] };
    }
    default:
      return order;
  }
}

/** The images that a command names: they go up before it. */
export function imagesOf(command: TechnicianCommand): readonly string[] {
  if (command.command === 'sign') return [command.imageId];
  if (command.command === 'report') return command.finding.photoIds ?? [];
  return command.command === 'answer' && command.answer.kind === 'photograph' ? command.answer.photoIds : [];
}
