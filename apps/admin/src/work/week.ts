/** Civil dates, `YYYY-MM-DD`, reckoned in UTC so that no change of the clock moves them. */

export function addDays(date: string, days: number): string {
  return new Date(Date.parse(`${date}T00:00:00Z`) + days * 86_400_000).toISOString().slice(0, 10);
}

/** The Monday of a date's week (ISO 8601: weeks begin on Monday). */
export function mondayOf(date: string): string {
  const day = new Date(`${date}T00:00:00Z`).getUTCDay();
  return addDays(date, -((day + 6) % 7));
}

const words = new Intl.DateTimeFormat('en-GB', { weekday: 'short', day: 'numeric', month: 'short', timeZone: 'UTC' });

/** `Tue 3 Mar`. */
export function dayWords(date: string): string {
  return words.format(new Date(`${date}T00:00:00Z`)).replace(',', '');
}
