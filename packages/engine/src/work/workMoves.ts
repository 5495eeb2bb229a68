import type { WorkCommandName, WorkState } from './types.js';

/**
 * The states of a work order and the commands that each takes, with the state that follows. Whatever is not here is refused.
 * A wrong completion is put right by a further order, not by going back: its parts and readings are already in the books.
 */
export const workMoves: Readonly<Record<WorkState, Readonly<Partial<Record<WorkCommandName, WorkState>>>>> = {
  planned: { release: 'released', cancel: 'cancelled' },
  released: { start: 'started', cancel: 'cancelled' },
  started: { answer: 'started', report: 'started', complete: 'completed', cancel: 'cancelled' },
  completed: { review: 'reviewed' },
  reviewed: {},
  cancelled: {},
};

/** The commands that a state takes. */
export function commandsIn(state: WorkState): WorkCommandName[] {
  return Object.keys(workMoves[state]) as WorkCommandName[];
}
