import type { ImportKind, ImportState } from '@lintel/contract';
import { fieldWord } from '../common/fieldWords.js';

export const importKindWords: Record<ImportKind, string> = { readings: 'Counter readings', doors: 'Doors', parts: 'Fitted parts', faults: 'Faults' };

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

const fieldWords: Record<string, string> = { at: 'Read at', value: 'Value shown', doorId: 'Door’s id', door: 'Door’s name', serial: 'Door’s serial', partSerial: 'Part’s serial' };

/** Our name of a column, as people read it; a counter is read at an instant, a fault just happens. */
export function importFieldWord(field: string, kind: ImportKind): string {
  if (kind === 'faults' && field === 'at') return 'When';
  return fieldWords[field] ?? fieldWord(field);
}
