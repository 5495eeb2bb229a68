import type { LedgerEntry } from '@lintel/contract';
import { fieldWord, valueWord } from '../common/fieldWords.js';

/** An action's code as words: `door.decommission` → `door: decommission`; codes not known here are still readable. */
export function actionWords(action: string): string {
  const [subject = '', ...deeds] = action.split('.');
  const spaced = (text: string) => text.replaceAll(/[-_]/g, ' ').replace(/([a-z])([A-Z])/g, '$1 $2').toLowerCase();
  return deeds.length === 0 ? spaced(subject) : `${spaced(subject)}: ${spaced(deeds.join(' '))}`;
}

const unread = new Set(['id', 'version', 'companyId', 'accountId']);

/** The facts of an entry as one line; ids are left out, they say nothing to people. */
export function detailWords(detail: LedgerEntry['detail']): string {
  return Object.entries(detail)
    .filter(([key, value]) => !unread.has(key) && !key.endsWith('Id') && value !== null && value !== undefined)
    .map(([key, value]) => `${fieldWord(key).toLowerCase()}: ${valueWord(value)}`)
    .join('; ');
}
