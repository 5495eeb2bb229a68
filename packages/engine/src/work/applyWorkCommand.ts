import { checkStep } from './checkStep.js';
import { completeRefusal, isContestedAsFailed, unreportedFailure, valueOf } from './completeGuards.js';
import { releaseRefusal } from './releaseGuards.js';
import { isSafetyCheck, type StepValue } from './steps.js';
import type { WorkCommand, WorkEffect, WorkKind, WorkOrder, WorkRefusal, WorkState } from './types.js';
import { effectsOf } from './workEffects.js';
import { commandsIn, workMoves } from './workMoves.js';

/** A planned order without steps: they come from the task's checklist at release. */
export function plannedOrder(kind: WorkKind, retests: readonly string[] = []): WorkOrder {
  return { kind, state: 'planned', steps: [], devices: [], answers: [], findings: [], retests: [...retests] };
}

/**
 * The order after a command, and what has to happen with it; or why the command is refused. The order given is not changed.
 * Rules, beside the table of moves: steps are copied and frozen at release; cautions are confirmed before any other step; a
 * failed safety check is answered again only with a remark, and cannot be completed as passed, nor vanish without a finding;
 * an inspection or commissioning is not completed with a device unchecked; a door found unsafe goes back into service only
 * through a further order that tests it again and passes. O(steps × answers).
 */
export function applyWorkCommand(
  order: WorkOrder,
  command: WorkCommand,
): { order: WorkOrder; effects: WorkEffect[] } | WorkRefusal {
  const moves = workMoves[order.state];
  // Own names only: a command out of a message may be called 'constructor'.
  const state = Object.hasOwn(moves, command.command) ? moves[command.command] : undefined;
  if (state === undefined) {
    const facts = { state: order.state, command: command.command, allowed: commandsIn(order.state) };
    return { refused: 'not-in-this-state', facts };
  }
  const changed = change(order, command, state);
  return 'refused' in changed ? changed : { order: changed, effects: effectsOf(changed, command) };
}

function change(order: WorkOrder, command: WorkCommand, state: WorkState): WorkOrder | WorkRefusal {
  switch (command.command) {
    case 'release':
      return (
        releaseRefusal(order, command) ?? {
          ...order,
          state,
          steps: frozenCopy(command.steps),
          devices: frozenCopy(command.devices),
        }
      );
    case 'start':
    case 'review':
      return { ...order, state };
    case 'answer':
      return answered(order, command);
    case 'report':
      return reported(order, command.finding);
    case 'complete':
      return completeRefusal(order, command) ?? { ...order, state, passed: command.passed };
    case 'cancel': {
      const reason = command.reason.trim();
      if (reason === '') return { refused: 'reason-needed', facts: {} };
      return unreportedFailure(order) ?? { ...order, state, cancelReason: reason };
    }
  }
}

function answered(
  order: WorkOrder,
  { stepId, answer }: Extract<WorkCommand, { command: 'answer' }>,
): WorkOrder | WorkRefusal {
  const step = order.steps.find(({ id }) => id === stepId);
  if (!step) return { refused: 'no-such-step', facts: { stepId } };
  const isCaution = step.kind === 'confirm' && step.caution;
  const cautions = order.steps.filter((one) => one.kind === 'confirm' && one.caution && !valueOf(order, one.id));
  if (!isCaution && cautions.length > 0) {
    return { refused: 'cautions-first', facts: { stepId, stepIds: cautions.map(({ id }) => id) } };
  }
  const value = checkStep(step, answer);
  if ('refused' in value) return value;
  const before = valueOf(order, stepId);
  const failed = before?.outcome === 'failed' || isContestedAsFailed(order, stepId);
  if (isSafetyCheck(step) && failed && value.remark === undefined) {
    return { refused: 'remark-needed', facts: { stepId } };
  }
  return { ...order, answers: [...order.answers, { stepId, value: frozenCopy<StepValue>(value) }] };
}

function reported(order: WorkOrder, finding: Extract<WorkCommand, { command: 'report' }>['finding']): WorkOrder | WorkRefusal {
  if (order.findings.some(({ id }) => id === finding.id)) return { refused: 'finding-twice', facts: { findingId: finding.id } };
  if (finding.text.trim() === '') return { refused: 'empty', facts: { findingId: finding.id } };
  const { stepId } = finding;
  if (stepId !== undefined && !order.steps.some(({ id }) => id === stepId)) return { refused: 'no-such-step', facts: { stepId } };
  return { ...order, findings: [...order.findings, frozenCopy(finding)] };
}

/** A copy that nobody can change any more, neither through the original nor by itself. Plain data only. */
function frozenCopy<T>(value: T): T {
  if (typeof value !== 'object' || value === null) return value;
  if (Array.isArray(value)) return Object.freeze(value.map((one: unknown) => frozenCopy(one))) as T;
  return Object.freeze(Object.fromEntries(Object.entries(value).map(([name, one]) => [name, frozenCopy(one)]))) as T;
}
