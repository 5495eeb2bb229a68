import { z } from 'zod';

/** UUIDv7 of a row. */
export const id = z.uuid();

/** A date in the site's own calendar, `YYYY-MM-DD`. */
export const civilDate = z.iso.date();

/** An instant as answered: ISO 8601 in UTC, with `Z`. */
export const instant = z.iso.datetime();

/** An instant as accepted: ISO 8601 with `Z` or an offset; one without either would mean a different moment at every site. */
export const instantGiven = z.iso.datetime({ offset: true });

/** A count of cycles, or what a counter shows. */
export const cycles = z.int().min(0).max(Number.MAX_SAFE_INTEGER);

/** Row version, answered as ETag `"3"` and asked back in If-Match. */
export const version = z.int().min(1);

export const name = z.string().trim().min(1).max(120);
export const line = z.string().trim().max(300);
export const text = z.string().trim().max(4000);
export const email = z.email().trim().toLowerCase().max(254);
export const share = z.number().min(0).max(1);

/** IANA time zone, e.g. `Europe/Oslo`, checked against the zones that this machine knows. */
export const timeZone = z.string().max(64).refine(isTimeZone, 'is not an IANA time zone');

function isTimeZone(zone: string): boolean {
  try {
    // An offset such as +01:00 is accepted by Intl but knows no summer time: only names will do.
    return /^[A-Za-z]/.test(zone) && Intl.DateTimeFormat('en', { timeZone: zone }).resolvedOptions().timeZone !== '';
  } catch {
    return false;
  }
}

/** One thing wrong with one field, for rules that look at several fields at once. */
export interface FieldError {
  field: string;
  message: string;
}

/** Hangs such a rule on a schema, each error at its field. */
export function checkedBy<T>(rule: (value: T) => FieldError[]) {
  return (value: T, context: z.core.$RefinementCtx<T>): void => {
    for (const { field, message } of rule(value)) {
      context.issues.push({ code: 'custom', message, path: [field], input: value });
    }
  };
}
