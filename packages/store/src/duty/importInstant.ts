import { tzOffset } from '@date-fns/tz';
import type { ImportMapping } from '@lintel/contract';
import { quoted } from './importNumber.js';

const ISO =
  /^(\d{4})-(\d\d)-(\d\d)(?:(?:T|\s+)(\d\d):(\d\d)(?::(\d\d)(?:[.,](\d{1,9}))?)?)?\s*(Z|[+-]\d\d(?::?\d\d)?)?$/i;
const ORDERED = /^(\d{1,2})[./-](\d{1,2})[./-](\d{4})(?:[\s,T]+(\d{1,2}):(\d\d)(?::(\d\d)(?:[.,]\d{1,9})?)?\s*([ap]m)?)?$/i;

/** Which of day, month and year comes first in dates such as 03/04/2026. */
export type DateOrder = NonNullable<ImportMapping['dateOrder']>;

const MINUTE_MS = 60_000;
const DAY_MS = 24 * 60 * MINUTE_MS;
/** A reading that is only dated was taken at some time of that day: noon is the least wrong. */
const NOON_MS = DAY_MS / 2;

/**
 * An instant (milliseconds since 1970-01-01T00:00Z) from a file's cell, or the reason why it is none.
 *
 * ISO 8601 with its offset is taken as it is. Without one it is local time in `timeZone`: a time that the clocks skip in
 * spring is refused, one that they show twice in autumn is taken for the earlier. A date alone is noon of that day, local.
 * @throws RangeError if `timeZone` is not an IANA zone.
 */
export function parseInstant(text: string, order: DateOrder, timeZone: string): number | { reason: string } {
  const iso = ISO.exec(text);
  if (iso !== null) return fromIso(iso, text, timeZone);
  const ordered = ORDERED.exec(text);
  if (ordered === null) return { reason: `${quoted(text)} is not an instant (write it as 2026-01-31 14:05)` };
  if (order === 'year-month-day') return { reason: `${quoted(text)}: say whether the day or the month comes first` };
  return fromOrdered(ordered, text, order, timeZone);
}

/** Whether a cell looks like an instant at all, in any order. */
export function looksLikeInstant(text: string): boolean {
  return ISO.test(text) || ORDERED.test(text);
}

/** Which of day and month comes first in some cells, where they tell; null: they do not, or contradict each other. */
export function dateOrderOf(texts: readonly string[]): DateOrder | null {
  const matches = texts.map((text) => ORDERED.exec(text)).filter((match) => match !== null);
  if (matches.length === 0) return 'year-month-day';
  const dayFirst = matches.some((match) => Number(match[1]) > 12);
  const monthFirst = matches.some((match) => Number(match[2]) > 12);
  if (dayFirst !== monthFirst) return dayFirst ? 'day-month-year' : 'month-day-year';
  // Full stops between the parts are used only where the day comes first.
  return !dayFirst && matches.every((match) => match[0].includes('.') && !/[/-]/.test(match[0])) ? 'day-month-year' : null;
}

function fromIso(match: RegExpExecArray, text: string, timeZone: string): number | { reason: string } {
  const [, year, month, day, hour, minute, second, fraction, zone] = match;
  const wall = wallTime(Number(year), Number(month), Number(day), Number(hour ?? 0), Number(minute ?? 0), Number(second ?? 0));
  if (wall === null) return { reason: `${quoted(text)} is not in the calendar or on the clock` };
  if (hour === undefined) {
    return zone === undefined ? toInstant(wall + NOON_MS, timeZone, text) : { reason: `${quoted(text)} has a zone but no time` };
  }
  const milliseconds = fraction === undefined ? 0 : Math.floor(Number(`0.${fraction}`) * 1000);
  if (zone === undefined) return toInstant(wall + milliseconds, timeZone, text);
  if (/z/i.test(zone)) return wall + milliseconds;
  const offset = Number(zone.slice(1, 3)) * 60 + Number(zone.slice(3).replace(':', '') || 0);
  return wall + milliseconds - (zone.startsWith('-') ? -offset : offset) * MINUTE_MS;
}

function fromOrdered(match: RegExpExecArray, text: string, order: DateOrder, timeZone: string): number | { reason: string } {
  const [, first, second, year, hourText, minute, seconds, half] = match;
  const [day, month] = order === 'day-month-year' ? [first, second] : [second, first];
  let hour = Number(hourText ?? 0);
  if (half !== undefined) {
    if (hour < 1 || hour > 12) return { reason: `${quoted(text)} is not on the clock` };
    hour = (hour % 12) + (/p/i.test(half) ? 12 : 0);
  }
  const wall = wallTime(Number(year), Number(month), Number(day), hour, Number(minute ?? 0), Number(seconds ?? 0));
  if (wall === null) return { reason: `${quoted(text)} is not in the calendar or on the clock, read ${order}` };
  return toInstant(hourText === undefined ? wall + NOON_MS : wall, timeZone, text);
}

/** Wall-clock time as if it were UTC; null: no such date or time. */
function wallTime(year: number, month: number, day: number, hour: number, minute: number, second: number): number | null {
  if (hour > 23 || minute > 59 || second > 59) return null;
  const midnight = Date.UTC(year, month - 1, day);
  const date = new Date(midnight);
  if (date.getUTCMonth() !== month - 1 || date.getUTCDate() !== day || year < 1970) return null;
  return midnight + ((hour * 60 + minute) * 60 + second) * 1000;
}

function toInstant(wall: number, timeZone: string, text: string): number | { reason: string } {
  const instant = localToInstant(wall, timeZone);
  return instant ?? { reason: `${quoted(text)}: the clocks of ${timeZone} skip this time` };
}

/**
 * The instant at which the clocks of a zone show a wall time (given as if it were UTC); the earlier where they show it twice,
 * null where they skip it.
 * @throws RangeError if `timeZone` is not an IANA zone.
 */
export function localToInstant(wall: number, timeZone: string): number | null {
  // No zone is a day away from UTC and none changes twice within two days, so these are all offsets that can hold.
  const before = wall - offsetMs(wall - DAY_MS, timeZone);
  const after = wall - offsetMs(wall + DAY_MS, timeZone);
  const [early, late] = before <= after ? [before, after] : [after, before];
  if (offsetMs(early, timeZone) === wall - early) return early;
  return offsetMs(late, timeZone) === wall - late ? late : null;
}

/** Zones change on whole quarters of an hour; asking for each line anew would take most of a large file's time. */
const QUARTER_MS = 15 * MINUTE_MS;
const KEPT_OFFSETS = 200_000;
const offsets = new Map<string, Map<number, number>>();
let kept = 0;

function offsetMs(instant: number, timeZone: string): number {
  let zone = offsets.get(timeZone);
  if (zone === undefined) offsets.set(timeZone, (zone = new Map()));
  const quarter = Math.floor(instant / QUARTER_MS);
  let offset = zone.get(quarter);
  if (offset === undefined) {
    offset = tzOffset(timeZone, new Date(quarter * QUARTER_MS)) * MINUTE_MS;
    if (Number.isNaN(offset)) throw new RangeError(`${quoted(timeZone)} is not an IANA time zone`);
    if (++kept > KEPT_OFFSETS) {
      offsets.clear();
      kept = 0;
      offsets.set(timeZone, (zone = new Map()));
    }
    zone.set(quarter, offset);
  }
  return offset;
}
