import { newId } from '@lintel/store';
import { afterAll, beforeAll, beforeEach, describe, expect, test } from 'vitest';
import type { Caller } from '../support/api.js';
import { openApiWorld, type ApiWorld } from '../support/apiWorld.js';

let world: ApiWorld;
let planner: Caller;
beforeAll(async () => {
  world = await openApiWorld();
  planner = world.callers.planner;
});
afterAll(() => world?.close());
beforeEach(() => world.database.owner.query('DELETE FROM outbox; DELETE FROM reading_overrule; DELETE FROM reading'));

const post = (...readings: unknown[]) => planner.post('readings', { readings });
const jobs = async (): Promise<unknown[]> => (await world.database.owner.query('SELECT job, payload FROM outbox')).rows;
const stored = async (): Promise<number> => Number((await world.database.owner.query('SELECT count(*) FROM reading')).rows[0].count);

describe('a batch of readings', () => {
  test('comes in once, however often it is sent, and asks once for its door', async () => {
    const { doorId, counterId } = world.fleet;
    const readings = [
      { doorId, at: '2026-01-01T00:00:00Z', value: 100 },
      { doorId, at: '2026-01-02T01:00:00+01:00', value: 200 },
      { doorId, at: '2026-01-02T00:00:00Z', value: 200 },
    ];
    expect((await post(...readings)).body).toEqual({ accepted: 2, unchanged: 1, refused: [] });
    expect((await post(...readings)).body).toEqual({ accepted: 0, unchanged: 3, refused: [] });
    expect(await jobs()).toEqual([{ job: 'project-door', payload: { doorId } }]);
    const { body } = await planner.get(`readings?doorId=${doorId}`);
    expect(body.items).toMatchObject([
      { at: '2026-01-02T00:00:00Z', value: 200, source: 'post', counterId, verdict: 'pending', overrule: null },
      { at: '2026-01-01T00:00:00Z', value: 100 },
    ]);
  });

  test('sent twice at once comes in once', async () => {
    const { doorId } = world.fleet;
    const readings = Array.from({ length: 500 }, (_, hour) => ({ doorId, at: new Date(Date.UTC(2026, 0, 1, hour)).toISOString(), value: hour }));
    const answers = await Promise.all([post(...readings), post(...readings.toReversed()), post(...readings)]);
    expect(answers.map(({ status }) => status)).toEqual([200, 200, 200]);
    expect(answers.reduce((sum, { body }) => sum + body.accepted, 0)).toBe(500);
    expect(answers.reduce((sum, { body }) => sum + body.unchanged, 0)).toBe(1000);
    expect(await stored()).toBe(500);
  });

  test('refuses what is wrong by its index and field, and takes the rest', async () => {
    const { doorId, counterId } = world.fleet;
    const at = '2026-01-01T00:00:00Z';
    const soon = new Date(Date.now() + 3_600_000).toISOString();
    const { body } = await post(
      { doorId, at, value: 1 },
      { doorId: newId(), at, value: 1 },
      { serial: 'none', at, value: 1 },
      { at, value: 1 },
      { doorId, serial: 'x', at, value: 1 },
      { doorId, at: '2026-01-01 00:00', value: 1 },
      { doorId, at: soon, value: 1 },
      { doorId, at: '2020-01-01T00:00:00Z', value: 1 },
      { doorId, at, value: -1 },
      { doorId, at, value: 1.5 },
      { doorId, at, value: 1, colour: 'red' },
      { doorId, at, value: 1, counterId: newId() },
      'no reading',
      { doorId, at, value: 2, counterId },
    );
    expect(body.accepted).toBe(2);
    expect(body.refused.map(({ index, field }: { index: number; field: string }) => [index, field])).toEqual([
      [1, 'doorId'], [2, 'serial'], [3, 'doorId'], [4, 'doorId'], [5, 'at'], [6, 'at'], [7, 'at'], [8, 'value'], [9, 'value'],
      [10, 'colour'], [11, 'counterId'], [12, ''],
    ]);
    expect(body.refused.every(({ message }: { message: string }) => message.length > 5)).toBe(true);
  });

  test('finds doors by serial, and says when several carry it', async () => {
    const { database, fleet, otherOwner } = world;
    await database.owner.query(`UPDATE door SET serial = 'S-1' WHERE id = $1`, [fleet.doorId]);
    expect((await post({ serial: 'S-1', at: '2026-01-01T00:00:00Z', value: 5 })).body.accepted).toBe(1);
    await database.owner.query(`UPDATE door SET serial = 'S-1' WHERE id = $1`, [otherOwner.doorId]);
    expect((await post({ serial: 'S-1', at: '2026-01-01T00:00:00Z', value: 6 })).body.refused).toEqual([
      { index: 0, field: 'serial', message: 'several doors have this serial: name the door by doorId' },
    ]);
    await database.owner.query('UPDATE door SET serial = NULL');
  });

  test('goes to the counter that was on the door then, and a value fits under its modulus', async () => {
    const { database, otherOwner: { doorId, counterId } } = world;
    await planner.post(`counters/${counterId}/remove`, { at: '2026-03-01T00:00:00Z' });
    const second = await planner.post('counters', { doorId, fittedAt: '2026-03-02T00:00:00Z', modulus: 1000 });
    const { body } = await post(
      { doorId, at: '2026-02-28T00:00:00Z', value: 99_999 },
      { doorId, at: '2026-03-01T12:00:00Z', value: 1 },
      { doorId, at: '2026-03-02T00:00:00Z', value: 3 },
      { doorId, at: '2026-03-03T00:00:00Z', value: 1000 },
      { doorId, at: '2026-02-28T00:00:00Z', value: 7, counterId: second.body.id },
    );
    expect(body).toMatchObject({ accepted: 2, refused: [{ index: 1, field: 'at' }, { index: 3, field: 'value' }, { index: 4, field: 'at' }] });
    const { rows } = await database.owner.query('SELECT counter_id FROM reading WHERE door_id = $1 ORDER BY at', [doorId]);
    expect(rows.map((row) => row.counter_id)).toEqual([counterId, second.body.id]);
  });

  test('is bounded', async () => {
    const { doorId } = world.fleet;
    expect((await post()).body.errors[0].field).toBe('readings');
    const many = Array.from({ length: 5001 }, (_, value) => ({ doorId, at: '2026-01-01T00:00:00Z', value }));
    expect((await post(...many)).body.errors[0].field).toBe('readings');
    expect((await post(...many.slice(1))).body.accepted).toBe(5000);
  });
});

describe('overruling', () => {
  test('is kept with its author, seen in the list, noted in the ledger, and taken back', async () => {
    const { doorId } = world.fleet;
    await post({ doorId, at: '2026-01-01T00:00:00Z', value: 100 });
    const reading = (await planner.get(`readings?doorId=${doorId}`)).body.items[0];
    const url = `readings/${reading.id}/overrule`;
    const set = await planner.ask({ method: 'PUT', url, body: { use: false, note: 'typing error' } });
    expect(set.body.overrule).toMatchObject({ use: false, note: 'typing error', accountName: 'Test planner' });
    await planner.ask({ method: 'PUT', url, body: { use: true, note: 'was right' } });
    expect((await planner.get(`readings/${reading.id}`)).body.overrule.use).toBe(true);
    expect((await world.callers.owner.get(`readings/${reading.id}`)).body.overrule).toMatchObject({ use: true, accountName: null });
    expect((await planner.ask({ method: 'DELETE', url })).status).toBe(204);
    expect((await planner.ask({ method: 'DELETE', url })).status).toBe(404);
    const actions = (await planner.get(`ledger?subjectId=${reading.id}`)).body.items.map(({ action }: { action: string }) => action);
    expect(actions).toEqual(['reading-overruling-taken-back', 'reading-overruled', 'reading-overruled']);
    expect(await jobs()).toEqual([{ job: 'project-door', payload: { doorId } }]);
  });
});

describe('the duty of a door', () => {
  test('is its lifetime cycles, with what was set aside', async () => {
    const { doorId } = world.fleet;
    const day = (n: number): string => new Date(Date.UTC(2026, 0, n)).toISOString();
    // 100 cycles a day from day 1 on; day 10 mistyped (a digit too many).
    const readings = Array.from({ length: 20 }, (_, n) => ({ doorId, at: day(n + 1), value: n === 9 ? 909_000 : 1000 + 100 * n }));
    await post(...readings);
    const { body } = await planner.get(`doors/${doorId}/duty`);
    expect(body.model).toBeNull();
    expect(body.forecast).toEqual([]);
    expect(body.history.length).toBe(19);
    expect(body.history.at(-1)).toMatchObject({ at: day(20), cycles: 2900 });
    expect(body.setAside).toMatchObject([{ at: day(10), value: 909_000 }]);
  });
});
