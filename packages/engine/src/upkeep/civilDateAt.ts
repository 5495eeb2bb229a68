import type { CivilDate } from './types.js';

interface Zone {
  format: Intl.DateTimeFormat;
  /** Offset from UTC in milliseconds through whole weeks since 1970; NaN: it changes within the week. */
  offsets: Map<number, number>;
}

const DAY_MS = 86_400_000;
const WEEK_MS = 7 * DAY_MS;
/** Before 1970 offsets are history, and after 9999 years have five digits: neither is remembered. */
const LAST_WEEK = Math.floor(Date.UTC(9999, 0, 1) / WEEK_MS);

/** Making a formatter costs a thousand times its use; there are some four hundred zones at most. */
const zones = new Map<string, Zone>();

/**
 * The date that calendars at a place show at an instant (milliseconds since 1970-01-01T00:00Z), Gregorian, in
 * an IANA zone.
 *
 * A nightly run asks hundreds of thousands of times, so the offset is kept for every week at whose two ends it
 * is the same: no zone leaves its offset and comes back to it within a week (a test tries them all). In other
 * weeks the formatter is asked.
 * @throws RangeError naming the zone or the instant, if either is not valid.
 */
export function civilDateAt(instantMs: number, timeZone: string): CivilDate {
  let zone = zones.get(timeZone);
  if (zone === undefined) {
    zone = { format: formatter(timeZone), offsets: new Map() };
    zones.set(timeZone, zone);
  }
  if (!(Math.abs(instantMs) <= 8.64e15)) throw new RangeError(`instantMs is not an instant: ${instantMs}`);
  const week = Math.floor(instantMs / WEEK_MS);
  const offset = week < 0 || week >= LAST_WEEK ? NaN : offsetIn(zone, week);
  if (Number.isNaN(offset)) return localDate(zone.format, instantMs);
  return dateOfDay(Math.floor((instantMs + offset) / DAY_MS));
}

/** The texts of dates, by days since 1970: the same few thousand come again and again. */
const texts = new Map<number, CivilDate>();
/** Two centuries and more. */
const MOST_TEXTS = 100_000;

function dateOfDay(day: number): CivilDate {
  let text = texts.get(day);
  if (text === undefined) {
    if (texts.size >= MOST_TEXTS) texts.clear();
    text = new Date(day * DAY_MS).toISOString().slice(0, 10);
    texts.set(day, text);
  }
  return text;
}

function offsetIn(zone: Zone, week: number): number {
  let offset = zone.offsets.get(week);
  if (offset === undefined) {
    offset = offsetAt(zone.format, week * WEEK_MS);
    if (offset !== offsetAt(zone.format, (week + 1) * WEEK_MS)) offset = NaN;
    zone.offsets.set(week, offset);
  }
  return offset;
}

type LocalPart = 'year' | 'month' | 'day' | 'hour' | 'minute' | 'second';

function localParts(format: Intl.DateTimeFormat, instantMs: number): Record<LocalPart, string> {
  const parts = { year: '', month: '', day: '', hour: '', minute: '', second: '' };
  for (const { type, value } of format.formatToParts(instantMs))
    if (type in parts) parts[type as LocalPart] = value;
  return parts;
}

/** At an instant of whole seconds. */
function offsetAt(format: Intl.DateTimeFormat, instantMs: number): number {
  const { year, month, day, hour, minute, second } = localParts(format, instantMs);
  return (
    Date.UTC(Number(year), Number(month) - 1, Number(day), Number(hour), Number(minute), Number(second)) -
    instantMs
  );
}

function localDate(format: Intl.DateTimeFormat, instantMs: number): CivilDate {
  const { year, month, day } = localParts(format, instantMs);
  return `${year.padStart(4, '0')}-${month}-${day}`;
}

function formatter(timeZone: string): Intl.DateTimeFormat {
  try {
    return new Intl.DateTimeFormat('en-u-ca-gregory-nu-latn', {
      timeZone,
      year: 'numeric',
      month: '2-digit',
      day: '2-digit',
      hour: '2-digit',
      minute: '2-digit',
      second: '2-digit',
      hourCycle: 'h23',
    });
  } catch {
    throw new RangeError(`timeZone is not an IANA time zone: ${JSON.stringify(timeZone)}`);
  }
}
