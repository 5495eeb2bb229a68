import { describe, expect, it } from 'vitest';
import { inspectImportFile, localToInstant, parseInstant, parseWholeNumber, readImportLines } from '@lintel/store';
import { pieces } from '../support/importFile.js';

const iso = (answer: number | { reason: string }): string => (typeof answer === 'number' ? new Date(answer).toISOString() : answer.reason);

describe('instants in cells', () => {
  // Offsets and changes of the clocks: tz database.
  it.each([
    ['2026-01-31T14:05:00Z', 'Europe/Oslo', '2026-01-31T14:05:00.000Z'],
    ['2026-01-31T14:05:00.1239+02:00', 'Europe/Oslo', '2026-01-31T12:05:00.123Z'],
    ['2026-01-31 14:05:00-0530', 'Europe/Oslo', '2026-01-31T19:35:00.000Z'],
    ['2026-01-31 14:05', 'Europe/Oslo', '2026-01-31T13:05:00.000Z'],
    ['2026-07-31 14:05', 'Europe/Oslo', '2026-07-31T12:05:00.000Z'],
    ['2026-07-31 14:05', 'Asia/Kolkata', '2026-07-31T08:35:00.000Z'],
    ['2026-01-31 14:05', 'Australia/Lord_Howe', '2026-01-31T03:05:00.000Z'],
    ['2026-07-31 14:05', 'Australia/Lord_Howe', '2026-07-31T03:35:00.000Z'],
    ['2026-01-31', 'America/Phoenix', '2026-01-31T19:00:00.000Z'],
    // Twice: the earlier is taken. United States, 1 November 2026; Lord Howe goes back by half an hour on 5 April.
    ['2026-11-01 01:30', 'America/Chicago', '2026-11-01T06:30:00.000Z'],
    ['2026-04-05 01:45', 'Australia/Lord_Howe', '2026-04-04T14:45:00.000Z'],
  ])('%s in %s', (text, zone, expected) => {
    expect(iso(parseInstant(text, 'year-month-day', zone))).toBe(expected);
  });

  it.each([
    ['2026-03-08 02:30', 'America/Chicago', /skip this time/],
    ['2026-02-29 10:00', 'UTC', /not in the calendar/],
    ['2026-13-01 10:00', 'UTC', /not in the calendar/],
    ['2026-01-01 24:00', 'UTC', /on the clock/],
    ['2026-01-01Z', 'UTC', /zone but no time/],
    ['46023.5', 'UTC', /not an instant/],
    ['', 'UTC', /not an instant/],
    ['1/2/26 10:00', 'UTC', /not an instant/],
    ['01/02/2026 10:00', 'UTC', /whether the day or the month comes first/],
  ])('%s in %s is refused', (text, zone, reason) => {
    expect(iso(parseInstant(text, 'year-month-day', zone))).toMatch(reason);
  });

  it('reads day and month in the order that is said, and half days', () => {
    expect(iso(parseInstant('01/02/2026 10:00', 'day-month-year', 'UTC'))).toBe('2026-02-01T10:00:00.000Z');
    expect(iso(parseInstant('01/02/2026 10:00', 'month-day-year', 'UTC'))).toBe('2026-01-02T10:00:00.000Z');
    expect(iso(parseInstant('1.2.2026, 10:00:07', 'day-month-year', 'UTC'))).toBe('2026-02-01T10:00:07.000Z');
    expect(iso(parseInstant('1/2/2026 12:15 am', 'month-day-year', 'UTC'))).toBe('2026-01-02T00:15:00.000Z');
    expect(iso(parseInstant('1/2/2026 12:15 PM', 'month-day-year', 'UTC'))).toBe('2026-01-02T12:15:00.000Z');
    expect(iso(parseInstant('31/01/2026 10:00', 'month-day-year', 'UTC'))).toMatch(/not in the calendar/);
  });

  it('agrees with the platform on every hour of a year, in zones of every kind', () => {
    const shown = (zone: string) => {
      const format = new Intl.DateTimeFormat('en-u-hc-h23', {
        timeZone: zone, year: 'numeric', month: '2-digit', day: '2-digit', hour: '2-digit', minute: '2-digit', second: '2-digit',
      });
      return (instant: number): number => {
        const part = Object.fromEntries(format.formatToParts(instant).map(({ type, value }) => [type, Number(value)]));
        return Date.UTC(part['year']!, part['month']! - 1, part['day']!, part['hour']!, part['minute']!, part['second']!);
      };
    };
    for (const zone of ['Europe/Oslo', 'America/Los_Angeles', 'Australia/Lord_Howe', 'Pacific/Apia', 'Africa/Casablanca']) {
      const wallOf = shown(zone);
      for (let hour = 0; hour < 366 * 24; hour += 1) {
        const instant = Date.UTC(2026, 0, 1) + hour * 3_600_000;
        const found = localToInstant(wallOf(instant), zone)!;
        expect(wallOf(found)).toBe(wallOf(instant));
        expect(found).toBeLessThanOrEqual(instant);
      }
    }
  });
});

describe('numbers in cells', () => {
  it.each([
    ['0', 0], ['007', 7], ['+12', 12], ['1234', 1234], ['1234.0', 1234], ['1234,00', 1234], ['1 234 567', 1_234_567],
    ['1\u00a0234', 1234], ["1'234", 1234], ['1,234,567', 1_234_567], ['1.234.567', 1_234_567], ['9007199254740991', 9_007_199_254_740_991],
  ])('%s', (text, expected) => {
    expect(parseWholeNumber(text)).toBe(expected);
  });

  it.each([
    ['1,234', /without a separator/], ['1.234', /without a separator/], ['-5', /below 0/], ['12.5', /not a whole number/],
    ['1,23,456', /not a number/], ['1.234,567', /not a number/], ['12e3', /not a number/], ['', /not a number/], ['0x10', /not a number/],
    ['9007199254740992', /too large/], ['NaN', /not a number/],
  ])('%s is refused', (text, reason) => {
    expect(parseWholeNumber(text)).toMatchObject({ reason: expect.stringMatching(reason) });
  });
});

describe('lines of a file', () => {
  const linesOf = async (text: string, size: number) => {
    const found: [number, ...string[]][] = [];
    for await (const { line, cells } of readImportLines(pieces(text, size)(), ',')) found.push([line, ...cells]);
    return found;
  };
  // Rules 1 to 7 of RFC 4180, section 2, and what spreadsheets do besides.
  const text = 'a,b\r\n1,"x, y"\r\n\r\n2,"two\r\nlines"\r\n,\r\n3,"a ""quoted"" word"\n4,last';
  const expected = [[2, '1', 'x, y'], [4, '2', 'two\r\nlines'], [7, '3', 'a "quoted" word'], [8, '4', 'last']];

  it.each([1, 2, 3, 7, 1000])('are the same, with the numbers that an editor shows, in pieces of %d bytes', async (size) => {
    expect(await linesOf(text, size)).toEqual(expected);
  });

  it('may hold characters cut in two by the pieces', async () => {
    expect(await linesOf('a,b\nTür,Ålesund 冷凍\n', 1)).toEqual([[2, 'Tür', 'Ålesund 冷凍']]);
  });
});

describe('what a file is', () => {
  const inspect = (text: string) => inspectImportFile('readings', Buffer.from(text));

  it.each([
    ['serial,at,value\n', ',', { serial: 'serial', at: 'at', value: 'value' }],
    ['Door serial no.;Read at;Cycle count\n', ';', { serial: 'Door serial no.', at: 'Read at', value: 'Cycle count' }],
    ['site\tdoor\ttimestamp\treading\n', '\t', { site: 'site', door: 'door', at: 'timestamp', value: 'reading' }],
    ['door,date,cycles\nSN-1,2026-01-01,5\n', ',', { serial: 'door', at: 'date', value: 'cycles' }],
    ['door,date,cycles\n01890000-0000-7000-8000-00000000aaaa,2026-01-01,5\n', ',', { doorId: 'door', at: 'date', value: 'cycles' }],
    // Names that say nothing: what the columns hold does.
    ['sn,X,Y\nSN-1,2026-01-01 08:00,5\nSN-2,2026-01-02 08:00,7\n', ',', { serial: 'sn', at: 'X', value: 'Y' }],
  ])('%j', (text, delimiter, columns) => {
    expect(inspect(text)).toMatchObject({ delimiter, suggested: { columns } });
  });

  it('tells day from month where the cells do', () => {
    expect(inspect('serial,at,value\nA,13/02/2026 08:00,5\n').suggested.dateOrder).toBe('day-month-year');
    expect(inspect('serial,at,value\nA,02/13/2026 08:00,5\n').suggested.dateOrder).toBe('month-day-year');
    expect(inspect('serial,at,value\nA,02.03.2026 08:00,5\n').suggested.dateOrder).toBe('day-month-year');
    expect(inspect('serial,at,value\nA,02/03/2026 08:00,5\n').suggested.dateOrder).toBeUndefined();
  });

  it.each([
    [Buffer.from('\ufeffserial', 'utf16le'), /UTF-16/],
    [Buffer.from('PK\u0003\u0004rest'), /spreadsheet or an archive/],
    [Buffer.from([0x73, 0xe5, 0x2c, 0x61, 0x0a]), /not UTF-8/],
    [Buffer.from(' \n \n'), /empty/],
  ])('%s is none', (bytes, message) => {
    expect(() => inspectImportFile('readings', bytes)).toThrow(message);
  });
});
