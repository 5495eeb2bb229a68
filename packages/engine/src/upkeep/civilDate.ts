import { UTCDate } from '@date-fns/utc';
import type { CivilDate } from './types.js';

const PATTERN = /^(\d{4})-(\d{2})-(\d{2})$/;

/**
 * A civil date as the library's UTC midnight, so that neither the machine's zone nor any clock change can touch
 * it.
 * @throws RangeError naming `field`, unless the text is `YYYY-MM-DD` and a day of the calendar.
 */
export function parseCivilDate(text: CivilDate, field: string): UTCDate {
  const match = PATTERN.exec(text);
  if (match) {
    const date = new UTCDate(Number(match[1]), Number(match[2]) - 1, Number(match[3]));
    if (date.getUTCDate() === Number(match[3]) && date.getUTCFullYear() === Number(match[1])) return date;
  }
  throw new RangeError(`${field} must be a date YYYY-MM-DD, not ${JSON.stringify(text)}`);
}

/** The reverse of `parseCivilDate`. */
export function formatCivilDate(date: Date): CivilDate {
  return date.toISOString().slice(0, 10);
}
