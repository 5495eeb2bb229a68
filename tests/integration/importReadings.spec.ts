import { afterAll, beforeAll, beforeEach, describe, expect, it } from 'vitest';
import { IMPORT_BATCH_LINES, rememberedMapping, type CompanyContext, type ImportResult } from '@lintel/store';
import { makeSmallFleet, type SmallFleet } from '../support/fleet.js';
import { bringIn, enterFile, pieces } from '../support/importFile.js';
import { openTestDatabase, type TestDatabase } from '../support/testDatabase.js';

describe('readings from a file', () => {
  let database: TestDatabase;
  let context: CompanyContext;
  let fleet: SmallFleet;

  beforeAll(async () => {
    database = await openTestDatabase();
  });
  afterAll(() => database.drop());

  beforeEach(async () => {
    context = await database.newCompany(`Company ${Math.random()}`);
    fleet = await makeSmallFleet(database.store, context);
    await database.owner.query(`UPDATE door SET serial = 'SN-1' WHERE id = $1`, [fleet.doorId]);
  });

  const rows = async <Row>(sql: string): Promise<Row[]> => (await database.owner.query(sql, [context.companyId])).rows as Row[];
  const readings = () =>
    rows<{ at: Date; value: string }>('SELECT at, value FROM reading WHERE company_id = $1 ORDER BY at, value');
  const refusals = (importId: string) =>
    rows<{ line: number; field: string; reason: string; excerpt: string }>(
      `SELECT line, field, reason, excerpt FROM import_refusal WHERE company_id = $1 AND import_id = '${importId}' ORDER BY line`,
    );
  const outbox = () => rows<{ job: string; payload: unknown }>(`SELECT job, payload FROM outbox WHERE company_id = $1 AND job LIKE 'project-%' ORDER BY job`);
  const adds = (result: ImportResult) => expect(result.accepted + result.unchanged + result.refused).toBe(result.lines);

  it('takes sound lines over, names each refused one with its field and why, and asks for the door to be projected', async () => {
    const text = [
      'serial,at,value',
      'SN-1,2026-03-01T10:00:00Z,1000',
      'SN-9,2026-03-02T10:00:00Z,1100',
      'SN-1,2026-02-30T10:00:00Z,1200',
      'SN-1,2026-03-04T10:00:00Z,12.5',
      'SN-1,2026-03-05T10:00:00Z,"1,234"',
      'SN-1,2026-03-06T10:00:00Z',
      'SN-1,2027-03-06T10:00:00Z,1300',
      'SN-1,2020-03-06T10:00:00Z,1300',
      ',2026-03-06T10:00:00Z,1300',
      'SN-1,2026-03-07T10:00:00Z,"1,234,567"',
    ].join('\n');
    const { importId, result } = await bringIn(database.store, context, 'readings', text);
    expect(result).toMatchObject({ state: 'done', lines: 10, accepted: 2, unchanged: 0, refused: 8, error: null });
    adds(result);
    expect((await refusals(importId)).map(({ line, field }) => [line, field])).toEqual([
      [3, 'serial'], [4, 'at'], [5, 'value'], [6, 'value'], [7, 'line'], [8, 'at'], [9, 'at'], [10, 'door'],
    ]);
    const [unknown, , , grouped, short] = await refusals(importId);
    expect(unknown!.reason).toContain('SN-9');
    expect(unknown!.excerpt).toBe('SN-9,2026-03-02T10:00:00Z,1100');
    expect(grouped!.reason).toContain('1,234');
    expect(short!.reason).toBe('the line has 2 cells, the header has 3');
    expect(await readings()).toEqual([
      { at: new Date('2026-03-01T10:00:00Z'), value: '1000' },
      { at: new Date('2026-03-07T10:00:00Z'), value: '1234567' },
    ]);
    expect(await outbox()).toEqual([{ job: 'project-door', payload: { doorId: fleet.doorId } }]);
  });

  it('changes nothing when the same file comes a second time', async () => {
    const text = 'serial,at,value\nSN-1,2026-03-01T10:00:00Z,1000\nSN-1,2026-03-02T10:00:00Z,1100\nSN-1,2026-03-02T10:00:00Z,1100\n';
    const first = await bringIn(database.store, context, 'readings', text);
    expect(first.result).toMatchObject({ accepted: 2, unchanged: 1 });
    const before = await readings();
    const second = await bringIn(database.store, context, 'readings', text);
    expect(second.result).toMatchObject({ state: 'done', accepted: 0, unchanged: 3, refused: 0 });
    expect(await readings()).toEqual(before);
    expect(await outbox()).toHaveLength(1);
  });

  it('reads semicolons, byte-order mark, CRLF, quoted cells and local times of the site', async () => {
    // Europe/Oslo 2026: clocks go from 02:00 to 03:00 on 29 March and back from 03:00 to 02:00 on 25 October (tz database).
    const text = '\ufeffSite;Door;Date / time;Cycle count\r\n' +
      '"Site";F-01;2026-01-10 12:00;"10"\r\n' +
      'site;f-01;2026-07-10 12:00:30;20\r\n' +
      'Site;F-01;2026-03-29 02:30;30\r\n' +
      'Site;F-01;2026-10-25 02:30;40\r\n' +
      'Site;F-01;2026-10-25T02:30:00+01:00;50\r\n' +
      'Site;F-01;2026-11-01;60\r\n';
    const { importId, result } = await bringIn(database.store, context, 'readings', text);
    expect(result).toMatchObject({ state: 'done', lines: 6, accepted: 5, refused: 1 });
    expect(await refusals(importId)).toMatchObject([{ line: 4, field: 'at', reason: expect.stringContaining('skip this time') }]);
    expect((await readings()).map(({ at, value }) => [at.toISOString(), value])).toEqual([
      ['2026-01-10T11:00:00.000Z', '10'],
      ['2026-07-10T10:00:30.000Z', '20'],
      ['2026-10-25T00:30:00.000Z', '40'],
      ['2026-10-25T01:30:00.000Z', '50'],
      ['2026-11-01T11:00:00.000Z', '60'],
    ]);
  });

  it('reads 03/04 only when told which comes first', async () => {
    const text = 'serial,at,value\nSN-1,03/04/2026 10:00,10\n';
    const untold = await bringIn(database.store, context, 'readings', text);
    expect(untold.result).toMatchObject({ accepted: 0, refused: 1 });
    await bringIn(database.store, context, 'readings', text, { dateOrder: 'day-month-year', timeZone: 'UTC' });
    await bringIn(database.store, context, 'readings', text, { dateOrder: 'month-day-year', timeZone: 'UTC' });
    expect((await readings()).map(({ at }) => at.toISOString())).toEqual(['2026-03-04T10:00:00.000Z', '2026-04-03T10:00:00.000Z']);
  });

  it('remembers how the columns of a foreign file were mapped', async () => {
    const text = 'A,B,C\nSN-1,2026-03-01T10:00:00Z,1000\n';
    const columns = { serial: 'A', at: 'B', value: 'C' };
    const { result } = await bringIn(database.store, context, 'readings', text, { columns });
    expect(result.accepted).toBe(1);
    const remembered = (header: string[]) =>
      database.store.withCompanySql(context, (client) => rememberedMapping(client, context, 'readings', header));
    expect(await remembered(['A', 'B', 'C'])).toMatchObject({ columns });
    expect(await remembered(['A', 'C', 'B'])).toBeNull();
  });

  it('gives counters that name no modulus the file\'s own', async () => {
    await bringIn(database.store, context, 'readings', 'serial,at,value\nSN-1,2026-03-01T10:00:00Z,9\n', { modulus: 100_000 });
    expect(await rows('SELECT modulus FROM counter WHERE company_id = $1')).toEqual([{ modulus: '100000' }]);
    const { result } = await bringIn(database.store, context, 'readings', 'serial,at,value\nSN-1,2026-03-02T10:00:00Z,9\nSN-1,2026-03-03T10:00:00Z,100000\n', { modulus: 1_000_000 });
    expect(result).toMatchObject({ accepted: 1, refused: 1 });
    expect(await rows('SELECT modulus FROM counter WHERE company_id = $1')).toEqual([{ modulus: '100000' }]);
  });

  it('takes a reading for the counter that the door carried then', async () => {
    const second = '01890000-0000-7000-8000-00000000aaaa';
    await database.owner.query(`UPDATE counter SET removed_at = '2026-03-01T00:00:00Z' WHERE id = $1`, [fleet.counterId]);
    await database.owner.query(
      `INSERT INTO counter (company_id, id, door_id, name, fitted_at) VALUES ($1, $2, $3, 'new', '2026-03-02T00:00:00Z')`,
      [context.companyId, second, fleet.doorId],
    );
    const text = 'serial,at,value\nSN-1,2026-02-28T10:00:00Z,90\nSN-1,2026-03-01T10:00:00Z,91\nSN-1,2026-03-03T10:00:00Z,5\n';
    const { importId, result } = await bringIn(database.store, context, 'readings', text);
    expect(result).toMatchObject({ accepted: 2, refused: 1 });
    expect(await refusals(importId)).toMatchObject([{ line: 3, field: 'at' }]);
    expect(await rows('SELECT counter_id, value FROM reading WHERE company_id = $1 ORDER BY at')).toEqual([
      { counter_id: fleet.counterId, value: '90' },
      { counter_id: second, value: '5' },
    ]);
  });

  it.each([
    ['', 'the file is empty'],
    ['serial,at\nSN-1,2026-03-01T10:00:00Z\n', 'no column is known for value'],
    ['at,value\n2026-03-01T10:00:00Z,5\n', 'no column says which door'],
    ['SN-1,2026-03-01T10:00:00Z,5\n', 'must hold column names'],
    ['serial,serial,value\na,b,5\n', 'stands twice'],
    ['\u0000\u0001binary', 'not text'],
  ])('answers a file that is none of its kind with one sentence: %j', async (text, message) => {
    const importId = await database.store.withCompanySql(context, async (client) => {
      const { rows: made } = await client.query<{ id: string }>(
        `INSERT INTO import (company_id, id, kind, file_name, state, header)
         VALUES ($1, gen_random_uuid(), 'readings', 'x.csv', 'waiting', '{}') RETURNING id`,
        [context.companyId],
      );
      return made[0]!.id;
    });
    const { result } = await bringIn(database.store, context, 'readings', text, { importId });
    expect(result).toMatchObject({ state: 'failed', lines: 0, accepted: 0, error: expect.stringContaining(message) });
    expect(await readings()).toEqual([]);
  });

  it('keeps the lines before a quote that is never closed, and names the line', async () => {
    const text = 'serial,at,value\nSN-1,2026-03-01T10:00:00Z,10\nSN-1,"2026-03-02T10:00:00Z,20\nSN-1,2026-03-03T10:00:00Z,30\n';
    const { result } = await bringIn(database.store, context, 'readings', text);
    expect(result).toMatchObject({ state: 'failed', lines: 1, accepted: 1, error: expect.stringContaining('line 3') });
    expect(await readings()).toHaveLength(1);
    expect((await outbox()).map((row) => row.job)).toEqual(['project-door']);
  });

  describe('a file of several batches', () => {
    const lines = 2 * IMPORT_BATCH_LINES + 1_234;
    const start = Date.parse('2026-01-01T00:00:00Z');
    // Every hundredth line names a door that there is not.
    const text = 'serial,at,value\n' + Array.from({ length: lines }, (_, index) =>
      `${index % 100 === 99 ? 'SN-9' : 'SN-1'},${new Date(start + index * 60_000).toISOString()},${index}\n`).join('');
    const whole = { state: 'done', lines, accepted: lines - 112, unchanged: 0, refused: 112 };

    it('goes on where a run that died had stood', async () => {
      const importId = await enterFile(database.store, context, 'readings', text);
      const dying = async function* () {
        let read = 0;
        for await (const piece of pieces(text, 10_000)()) {
          read += piece.length;
          if (read > text.length * 0.9) throw new Error('the disk went away');
          yield piece;
        }
      };
      await expect(bringIn(database.store, context, 'readings', text, { importId, open: dying })).rejects.toThrow('the disk went away');
      const stood = await rows<{ state: string; lines: number }>(`SELECT state, lines FROM import WHERE company_id = $1`);
      expect(stood).toEqual([{ state: 'running', lines: 2 * IMPORT_BATCH_LINES }]);
      const { result } = await bringIn(database.store, context, 'readings', text, { importId });
      expect(result).toMatchObject(whole);
      expect(await readings()).toHaveLength(whole.accepted);
      expect(await refusals(importId)).toHaveLength(112);
      expect((await outbox()).map((row) => row.job)).toEqual(['project-company']);
    });

    it('comes to the same when two run at once', async () => {
      const importId = await enterFile(database.store, context, 'readings', text);
      const results = await Promise.all([1, 2].map(() => bringIn(database.store, context, 'readings', text, { importId })));
      for (const { result } of results) expect(result).toMatchObject(whole);
      expect(await readings()).toHaveLength(whole.accepted);
      expect(await rows(`SELECT action FROM ledger_entry WHERE company_id = $1 AND action LIKE 'import-%'`)).toHaveLength(1);
    });

    it('stops between batches when it is cancelled, and keeps what it brought in', async () => {
      let batches = 0;
      const { result } = await bringIn(database.store, context, 'readings', text, {
        onProgress: () => (batches += 1),
        isCancelled: () => batches === 1,
      });
      expect(result).toMatchObject({ state: 'cancelled', lines: IMPORT_BATCH_LINES });
      expect(await readings()).toHaveLength(IMPORT_BATCH_LINES - 50);
      expect((await outbox()).map((row) => row.job)).toEqual(['project-door']);
    });

    it('stops when a person asks for it in the store', async () => {
      const importId = await enterFile(database.store, context, 'readings', text);
      await rows('UPDATE import SET cancel_requested = true WHERE company_id = $1');
      const { result } = await bringIn(database.store, context, 'readings', text, { importId });
      expect(result).toMatchObject({ state: 'cancelled', lines: 0, accepted: 0 });
    });

    it('never reads far ahead of what it has written', async () => {
      let pulled = 0;
      let furthest = 0;
      const counted = async function* () {
        for await (const piece of pieces(text, 4_096)()) {
          pulled += piece.length;
          yield piece;
        }
      };
      const { result } = await bringIn(database.store, context, 'readings', text, {
        open: () => {
          pulled = 0;
          return counted();
        },
        onProgress: (progress) => (furthest = Math.max(furthest, pulled - progress.readBytes)),
      });
      expect(result).toMatchObject(whole);
      expect(result.readBytes).toBeGreaterThan(text.length - 10);
      // A few pieces of 4 kB on their way; half the file stands ahead after the first batch.
      expect(furthest).toBeLessThan(65_536);
    });
  });
});
