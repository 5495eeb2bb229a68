import type { CivilDate } from './types.js';

interface Zone {
  format: Intl.DateTimeFormat;
  /** The last answer: a nightly run asks for the same instant tens of thousands of times. */
  instantMs: number;
  date: CivilDate;
}

/** Making a formatter costs a thousand times its use; there are some four hundred zones at most. */
const zones = new Map<string, Zone>();

/**
 * The date that calendars at a place show at an instant (milliseconds since 1970-01-01T00:00Z), Gregorian, in an IANA zone.
 * @throws RangeError naming the zone or the instant, if either is not valid.
 */
export function civilDateAt(instantMs: number, timeZone: string): CivilDate {
  let zone = zones.get(timeZone);
  if (zone === undefined) {
    zone = { format: formatter(timeZone), instantMs: NaN, date: '' };
    zones.set(timeZone, zone);
  }
  if (zone.instantMs === instantMs) return zone.date;
  if (!(Math.abs(instantMs) <= 8.64e15)) throw new RangeError(`instantMs is not an instant: ${instantMs}`);
  let year = '';
  let month = '';
  let day = '';
  for (const part of zone.format.formatToParts(instantMs)) {
    if (part.type === 'year') year = part.value;
    else if (part.type === 'month') month = part.value;
    else if (part.type === 'day') day = part.value;
  }
  zone.date = `${year.padStart(4, '0')}-${month}-${day}`;
  zone.instantMs = instantMs;
  return zone.date;
}

function formatter(timeZone: string): Intl.DateTimeFormat {
  try {
    return new Intl.DateTimeFormat('en-u-ca-gregory-nu-latn', {
      timeZone,
      year: 'numeric',
      month: '2-digit',
      day: '2-digit',
    });
  } catch {
    throw new RangeError(`timeZone is not an IANA time zone: ${JSON.stringify(timeZone)}`);
  }
}
