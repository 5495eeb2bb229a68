/**
 * Dates as people read them: day, month by name, year, so that no country misreads them. A civil date (`YYYY-MM-DD`) has
 * no zone and is never moved by one; an instant is shown in the zone given, or in the reader's own.
 */
const civil = new Intl.DateTimeFormat('en-GB', { day: 'numeric', month: 'short', year: 'numeric', timeZone: 'UTC' });
const civilShort = new Intl.DateTimeFormat('en-GB', { day: 'numeric', month: 'short', timeZone: 'UTC' });

export function formatDate(date: string): string {
  return civil.format(new Date(`${date.slice(0, 10)}T00:00:00Z`));
}

export function formatDayMonth(date: string): string {
  return civilShort.format(new Date(`${date.slice(0, 10)}T00:00:00Z`));
}

/** `14 Feb – 2 Jun 2027`; the year is said once where it is the same. */
export function formatDateRange(from: string, to: string): string {
  if (from === to) return formatDate(from);
  return `${from.slice(0, 4) === to.slice(0, 4) ? formatDayMonth(from) : formatDate(from)} – ${formatDate(to)}`;
}

export function formatInstant(instant: string | number, timeZone?: string): string {
  const options: Intl.DateTimeFormatOptions = {
    day: 'numeric',
    month: 'short',
    year: 'numeric',
    hour: '2-digit',
    minute: '2-digit',
    hour12: false,
  };
  if (timeZone) options.timeZone = timeZone;
  return new Intl.DateTimeFormat('en-GB', options).format(new Date(instant));
}

/** Days from one civil date to another; negative when `to` lies before. */
export function daysBetween(from: string, to: string): number {
  return Math.round((Date.parse(`${to.slice(0, 10)}T00:00:00Z`) - Date.parse(`${from.slice(0, 10)}T00:00:00Z`)) / 86_400_000);
}

/** `3 days ago`, `today`, `in 5 weeks`: coarse words for a distance in days. */
export function formatDistance(days: number): string {
  const size = Math.abs(days);
  const words =
    size === 0 ? 'today' : size < 14 ? count(size, 'day') : size < 70 ? count(Math.round(size / 7), 'week') : count(Math.round(size / 30.44), 'month');
  if (size === 0) return words;
  return days < 0 ? `${words} ago` : `in ${words}`;
}

/** `1 day`, `2 days`. */
export function count(size: number, noun: string): string {
  return `${size.toLocaleString('en')} ${noun}${size === 1 ? '' : 's'}`;
}
