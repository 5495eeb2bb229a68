import { localToInstant } from '../duty/importInstant.js';

const MINUTE_MS = 60_000;
const DAY_MS = 86_400_000;

/** Milliseconds of a civil date's midnight, as if in UTC. */
const parseCivilDate = (date: string): number => Date.parse(`${date}T00:00:00Z`);
const formatCivilDate = (ms: number): string => new Date(ms).toISOString().slice(0, 10);

/** Minutes from the plan's start (the first day's midnight in UTC) to a time of a day by the clocks of a zone. */
export function minutesAt(zeroMs: number, on: string, clock: string, timeZone: string): number {
  const [hours, minutes] = clock.split(':').map(Number);
  const wall = parseCivilDate(on) + (hours! * 60 + minutes!) * MINUTE_MS;
  // A time that the clocks skip in spring is taken for the hour after.
  const instant = localToInstant(wall, timeZone) ?? localToInstant(wall + 60 * MINUTE_MS, timeZone)!;
  return (instant - zeroMs) / MINUTE_MS;
}

export const zeroOf = (fromOn: string): number => parseCivilDate(fromOn);
export const instantAt = (zeroMs: number, minutes: number): string => new Date(Math.round(zeroMs + minutes * MINUTE_MS)).toISOString();

/** So many dates from one on. */
export function datesFrom(first: string, days: number): string[] {
  return Array.from({ length: days }, (_, day) => dateAfter(first, day));
}

export const dateAfter = (date: string, days: number): string => formatCivilDate(parseCivilDate(date) + days * DAY_MS);

/** 1 (Monday) … 7 (Sunday). */
export const weekdayOf = (date: string): number => new Date(parseCivilDate(date)).getUTCDay() || 7;

export const instantOfDate = (date: string): string => `${date}T00:00:00.000Z`;
