import type { WholeWorkOrder, WorkAnswerRow } from '@lintel/contract';
import type { StepAnswer, StepOutcome, StepValue } from '@lintel/engine';

/** A step with its answers: the one that stands, those before it, and those that contradict it. */
export interface StepState {
  step: WholeWorkOrder['steps'][number];
  index: number;
  standing: WorkAnswerRow | null;
  /** Newest first. */
  earlier: WorkAnswerRow[];
  contested: WorkAnswerRow[];
}

export function stepStates(order: Pick<WholeWorkOrder, 'steps' | 'answers' | 'conflicts'>): StepState[] {
  return order.steps.map((step, index) => {
    const own = order.answers.filter(({ stepId }) => stepId === step.id);
    const counting = own.filter(({ counts }) => counts);
    const standing = counting.at(-1) ?? null;
    const open = new Set(order.conflicts.filter(({ stepId }) => stepId === step.id).map(({ contestedId }) => contestedId));
    const contested = own.filter(({ id }) => open.has(id));
    return { step, index, standing, earlier: own.filter(({ id }) => id !== standing?.id && !open.has(id)).reverse(), contested };
  });
}

export function positionOf(step: WholeWorkOrder['steps'][number]): string | null {
  return 'positionId' in step && typeof step.positionId === 'string' ? step.positionId : null;
}

/** The numbers of the steps at each position, from 1. */
export function stepNumbers({ steps }: Pick<WholeWorkOrder, 'steps'>): Map<string, number[]> {
  const numbers = new Map<string, number[]>();
  for (const [index, step] of steps.entries()) {
    const position = positionOf(step);
    if (position !== null) numbers.set(position, [...(numbers.get(position) ?? []), index + 1]);
  }
  return numbers;
}

/** What the order does at each position: the worst of its steps there; `open` while one is unanswered and none has failed. */
export function positionOutcomes(order: Pick<WholeWorkOrder, 'steps' | 'answers' | 'conflicts'>): Map<string, StepOutcome | 'open'> {
  const rank = { failed: 3, open: 2, passed: 1, recorded: 0 } as const;
  const outcomes = new Map<string, StepOutcome | 'open'>();
  for (const { step, standing } of stepStates(order)) {
    const position = positionOf(step);
    if (position === null) continue;
    const outcome = standing?.value.outcome ?? 'open';
    const before = outcomes.get(position);
    if (before === undefined || rank[outcome] > rank[before]) outcomes.set(position, outcome);
  }
  return outcomes;
}

/**
 * The answer that would give this value again, so that a person can let it stand; null where it cannot be given again (a force
 * test whose single readings were not kept).
 */
export function answerOf(value: StepValue, remark: string | undefined): StepAnswer | null {
  const said = remark?.trim() || value.remark;
  const more = said ? { remark: said } : {};
  switch (value.kind) {
    case 'confirm':
      return { kind: 'confirm', confirmed: value.confirmed, ...more };
    case 'measure':
      return { kind: 'measure', value: value.value, unit: value.unit, ...more };
    case 'choose':
      return { kind: 'choose', choice: value.choice, ...more };
    case 'photograph':
      return { kind: 'photograph', photoIds: value.photoIds, ...more };
    case 'read-counter':
      return { kind: 'read-counter', value: value.value, ...more };
    case 'test-device':
      return { kind: 'test-device', passed: value.outcome === 'passed', ...more };
    case 'force-test':
      if (!value.readings) return null;
      return { kind: 'force-test', readings: value.readings, gauge: value.gauge, usedOn: value.usedOn, ...(value.instrumentId ? { instrumentId: value.instrumentId } : {}), ...more };
    case 'fit-part':
      return { kind: 'fit-part', ...(value.removed ? { removed: value.removed } : {}), ...(value.fitted ? { fitted: value.fitted } : {}), ...more };
    case 'text':
      return { kind: 'text', text: value.text, ...more };
  }
}
