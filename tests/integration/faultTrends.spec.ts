import { faultSummary, faultTrends, newId, projectCompany, type CompanyContext } from '@lintel/store';
import { repairTrend } from '@lintel/engine';
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import { makeSmallFleet, type SmallFleet } from '../support/fleet.js';
import { openTestDatabase, type TestDatabase } from '../support/testDatabase.js';

const DAY_MS = 86_400_000;
const START = Date.UTC(2025, 0, 6, 9);
const DAYS = 300;
const NOW = new Date(START + DAYS * DAY_MS);
const BUSY_FROM = 200;
const [SLOW, BUSY] = [50, 1000];
/** Lifetime cycles after so many days: a quiet door that becomes a busy one. */
const cyclesAt = (day: number): number => 1000 + SLOW * Math.min(day, BUSY_FROM) + BUSY * Math.max(0, day - BUSY_FROM);
const dayOf = (cycles: number): number =>
  cycles <= cyclesAt(BUSY_FROM) ? (cycles - 1000) / SLOW : BUSY_FROM + (cycles - cyclesAt(BUSY_FROM)) / BUSY;

let database: TestDatabase;
let context: CompanyContext;
let fleet: SmallFleet;
let codeId: string;

beforeAll(async () => {
  database = await openTestDatabase();
  context = await database.newCompany();
  fleet = await makeSmallFleet(database.store, context);
  codeId = newId();
  const { companyId } = context;
  await database.store.withCompany(context, async (db) => {
    await db.counter.update({ where: { companyId_id: { companyId, id: fleet.counterId } }, data: { startCycles: 0n, startValue: 0n } });
    await db.reading.createMany({
      data: Array.from({ length: DAYS + 1 }, (_, day) => ({
        companyId, id: newId(), doorId: fleet.doorId, counterId: fleet.counterId, at: new Date(START + day * DAY_MS), value: BigInt(cyclesAt(day)), source: 'wire' as const,
      })),
    });
    await db.faultCode.create({ data: { companyId, id: codeId, code: 'E1', name: 'E1', kind: 'drive' } });
  });
  await projectCompany(database.store, context, { now: NOW });
});
afterAll(() => database.drop());

/** The only faults of the company from now on. */
async function reported(days: readonly number[], doorId = fleet.doorId): Promise<void> {
  await database.owner.query('DELETE FROM fault WHERE company_id = $1', [context.companyId]);
  const { companyId } = context;
  await database.store.withCompany(context, (db) => db.fault.createMany({
    data: days.map((day) => ({ companyId, id: newId(), doorId, faultCodeId: codeId, at: new Date(START + day * DAY_MS), source: 'wire' as const })),
  }));
}
const trends = () => database.store.withCompanySql(context, (client) => faultTrends(client, context, {}, NOW));

describe('a trend goes by the cycles of the door', () => {
  const even = Array.from({ length: 12 }, (_, index) => cyclesAt(0) + ((index + 0.5) / 12) * (cyclesAt(DAYS) - cyclesAt(0)));

  test('a door that became busy and has faults evenly over its cycles is steady, though by days it would be getting worse', async () => {
    const days = even.map(dayOf);
    await reported([0, ...days]);
    expect(repairTrend([{ events: days, end: DAYS }]).verdict).toBe('worse');
    const { doors } = await trends();
    expect(doors).toHaveLength(1);
    expect(doors[0]!.trend).toMatchObject({ verdict: 'steady', unit: 'cycles', events: 12, watchedFrom: new Date(START).toISOString(), watchedTo: NOW.toISOString() });
  });

  test('the same as the engine says of the cycles themselves', async () => {
    const gathering = Array.from({ length: 12 }, (_, index) => cyclesAt(0) + ((index + 0.5) / 12) ** 0.4 * (cyclesAt(DAYS) - cyclesAt(0)));
    await reported([0, ...gathering.map(dayOf)]);
    const truth = repairTrend([{ events: gathering.map((cycles) => cycles - cyclesAt(0)), end: cyclesAt(DAYS) - cyclesAt(0) }]);
    const { doors } = await trends();
    expect(doors[0]!.trend).toMatchObject({ verdict: 'worse', unit: 'cycles' });
    expect(doors[0]!.trend.laplace).toBeCloseTo(truth.laplace!, 2);
    expect(doors[0]!.trend.shape).toBeCloseTo(truth.shape!, 2);
  });

  test('too few faults for a verdict leave the door out', async () => {
    await reported([0, 10, 20, 30]);
    expect(await trends()).toEqual({ doors: [], leftOut: 0 });
  });

  test('a decommissioned door is watched until its end', async () => {
    await reported([0, 10, 40, 70, 100, 130, 160, 190]);
    await database.owner.query(`UPDATE door SET state = 'decommissioned', state_since = $2 WHERE id = $1`, [fleet.doorId, new Date(START + 200 * DAY_MS)]);
    const { doors } = await trends();
    const summary = await database.store.withCompanySql(context, (client) => faultSummary(client, { atFrom: new Date(START + 100 * DAY_MS).toISOString() }, NOW));
    const { rows } = await database.owner.query('SELECT observed_cycles / observed_days AS rate FROM door_duty WHERE door_id = $1', [fleet.doorId]);
    await database.owner.query(`UPDATE door SET state = 'in_service' WHERE id = $1`, [fleet.doorId]);
    expect(doors[0]!.trend).toMatchObject({ events: 7, watchedTo: new Date(START + 200 * DAY_MS).toISOString(), verdict: 'too-little' });
    // Two hundred days from the beginning of the summary to now, a hundred of them with the door.
    expect(summary.cycles / (rows[0].rate * 100)).toBeCloseTo(1, 9);
  });
});
