import type { ImportKind, ImportState } from '@lintel/contract';

export const importKindWords: Record<ImportKind, string> = { readings: 'Counter readings', doors: 'Doors', parts: 'Fitted parts' };

export const importStateWords: Record<ImportState, string> = {
  uploading: 'being uploaded',
  uploaded: 'waits for its columns to be named',
  waiting: 'waits for its turn',
  running: 'being read',
  done: 'done',
  failed: 'failed',
  cancelled: 'cancelled',
};

/** Whether there is nothing more to wait for. */
export function ended(state: ImportState): boolean {
  return state === 'done' || state === 'failed' || state === 'cancelled';
}
