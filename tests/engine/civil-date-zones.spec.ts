import { civilDateAt } from '@lintel/engine';
import { expect, test } from 'vitest';

/**
 * Against the platform's own calendar (ECMA-402 `Intl.DateTimeFormat` over the IANA time zone database), asked afresh for each
 * instant: every zone it knows, from 1970 on, on both sides of each change of offset.
 */
test('the date in every zone, close to every midnight and change of offset', () => {
  const hour = 3_600_000;
  let wrong = 0;
  let asked = 0;
  let example = '';
  for (const timeZone of Intl.supportedValuesOf('timeZone')) {
    const own = new Intl.DateTimeFormat('sv-SE', { timeZone, dateStyle: 'short' });
    const look = (instant: number) => {
      asked += 1;
      if (civilDateAt(instant, timeZone) === own.format(instant)) return;
      wrong += 1;
      example ||= `${timeZone} ${new Date(instant).toISOString()}`;
    };
    // A step that is no divisor of a day or a week walks over all hours of the day.
    for (let instant = 0; instant < Date.UTC(2060, 0, 1); instant += 67.7 * 24 * hour + 1234) look(instant);
    // Two dense years: the one with most changes of rules, and a coming one.
    for (const year of [2011, 2027]) {
      for (let instant = Date.UTC(year, 0, 1); instant < Date.UTC(year + 1, 0, 1); instant += 13.1 * hour) look(instant);
    }
  }
  expect(asked).toBeGreaterThan(500_000);
  expect({ wrong, example }).toEqual({ wrong: 0, example: '' });
});

test('instants before 1970 and bad ones', () => {
  expect(civilDateAt(-1, 'UTC')).toBe('1969-12-31');
  expect(civilDateAt(-1, 'Asia/Tokyo')).toBe('1970-01-01');
  expect(() => civilDateAt(NaN, 'UTC')).toThrow('instantMs');
  expect(() => civilDateAt(0, 'Nowhere/Atall')).toThrow('timeZone');
});
