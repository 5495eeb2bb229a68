import { isSafetyCheck, type StepValue, type WorkStep } from './steps.js';
import type { StepAnswered } from './types.js';

/** An answer as it was taken in, in the order of the server. */
export interface GivenAnswer extends StepAnswered {
  id: string;
  accountId: string;
  /** False: contested. */
  counts: boolean;
  settlesId?: string | null | undefined;
}

/** An answer on its way in: over which one it was given, as far as its giver knew, and which contested one it is to settle. */
export interface AnswerOver {
  accountId: string;
  value: StepValue;
  baseId?: string | null | undefined;
  settlesId?: string | null | undefined;
}

/**
 * Does an answer count, or does it contradict one that somebody else gave meanwhile? It counts where nobody has answered, where
 * its giver had seen the answer that stands or gave that one, or where both say the same. Of safety checks two answers that did
 * not know of each other are contested whatever they say, and what settles a contradiction must have seen the answer that stands:
 * a person has to look. O(size of the values).
 */
export function standing(step: WorkStep, given: AnswerOver, newest: GivenAnswer | undefined): 'counts' | 'contested' {
  if (newest === undefined || given.baseId === newest.id) return 'counts';
  if (given.settlesId != null) return 'contested';
  if (given.accountId === newest.accountId) return 'counts';
  return !isSafetyCheck(step) && equal(given.value, newest.value) ? 'counts' : 'contested';
}

/** The answers that count, and those contested that nobody has settled: of one person at one step the last alone. O(n²). */
export function standingAnswers<Answer extends GivenAnswer>(all: readonly Answer[]): { answers: Answer[]; conflicts: Answer[] } {
  const answers = all.filter(({ counts }) => counts);
  const settled = new Set(answers.map(({ settlesId }) => settlesId));
  const conflicts = all.filter(
    (one, index) =>
      !one.counts && !settled.has(one.id) &&
      !all.some((later, at) => at > index && !later.counts && later.stepId === one.stepId && later.accountId === one.accountId),
  );
  return { answers, conflicts };
}

/** Plain data with equal content, whatever the order of its fields; a field that is undefined is none. */
function equal(a: unknown, b: unknown): boolean {
  if (typeof a !== 'object' || typeof b !== 'object' || a === null || b === null) return Object.is(a, b);
  if (Array.isArray(a) !== Array.isArray(b)) return false;
  const names = new Set([...Object.keys(a), ...Object.keys(b)]);
  return [...names].every((name) => equal((a as Record<string, unknown>)[name], (b as Record<string, unknown>)[name]));
}
