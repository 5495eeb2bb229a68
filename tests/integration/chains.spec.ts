import { newId, projectCompany, recordChainMeasurement } from '@lintel/store';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { openApiWorld, type ApiWorld } from '../support/apiWorld.js';

const DAY_MS = 86_400_000;
const now = new Date();
const start = now.getTime() - 400 * DAY_MS;
const day = (days: number) => new Date(start + days * DAY_MS);

let world: ApiWorld;
beforeAll(async () => {
  world = await openApiWorld();
  const { company: { companyId }, fleet } = world;
  await world.database.store.withCompany(world.company, async (db) => {
    await db.door.updateMany({ where: { id: fleet.doorId }, data: { installedOn: day(0) } });
    await db.counter.updateMany({ where: { id: fleet.counterId }, data: { fittedAt: day(0) } });
    await db.fittedPart.updateMany({ where: { id: fleet.chainId }, data: { fittedAt: day(0) } });
    // 500 cycles a day, read every five days.
    await db.reading.createMany({ data: Array.from({ length: 80 }, (_, k) => ({
      companyId, id: newId(), doorId: fleet.doorId, counterId: fleet.counterId, at: day(k * 5), value: BigInt(k * 2500), source: 'form' as const,
    })) });
  });
  await projectCompany(world.database.store, world.company, { now });
});
afterAll(() => world?.close());

const chainOf = async () => (await world.callers.owner.get(`doors/${world.fleet.doorId}/handbook-lives`)).body.chains[0];
const record = (fields: object, as: 'technician' | 'planner' | 'owner' = 'technician') =>
  world.callers[as].post('chain-measurements', { fittedPartId: world.fleet.chainId, measuredAt: day(100).toISOString(), ...fields });

describe('a chain measurement', () => {
  it('that cannot be is refused by its field, and is not an owner’s to record', async () => {
    const wrong = async (fields: object) => {
      const { status, body } = await record(fields);
      return [status, body.errors?.[0]?.field];
    };
    const length = { pitches: 20, lengthMm: 255, pitchMm: 12.7 };
    expect(await wrong({})).toEqual([400, 'lengthMm']);
    expect(await wrong({ ...length, pitches: undefined })).toEqual([400, 'pitches']);
    // 20 pitches of 12.7 mm are 254 mm: 355 mm are no chain of that pitch.
    expect(await wrong({ ...length, lengthMm: 355 })).toEqual([400, 'lengthMm']);
    expect(await wrong({ ...length, measuredAt: day(-1).toISOString() })).toEqual([400, 'measuredAt']);
    expect(await wrong({ ...length, measuredAt: day(500).toISOString() })).toEqual([400, 'measuredAt']);
    expect(await wrong({ ...length, fittedPartId: newId() })).toEqual([400, 'fittedPartId']);
    expect(await wrong({ ...length, fittedPartId: world.foreign.chainId })).toEqual([400, 'fittedPartId']);
    expect(await wrong({ ...length, correctsId: newId() })).toEqual([400, 'correctsId']);
    expect((await record(length, 'owner')).status).toBe(403);
    expect(await chainOf()).toMatchObject({ measurements: [], line: null, none: 'too-few-measurements', limitOn: null, atLimit: false });
  });

  it('gives the elongation by the length over so many pitches, and three of them the cycles and the date at the limit', async () => {
    // (256.54 / (20 × 12.7) − 1) = 1 %: elongation as chain makers define it.
    const first = await record({ pitches: 20, lengthMm: 256.54, pitchMm: 12.7, lifetimeCycles: 100_000, measuredAt: day(200).toISOString() });
    expect(first.status).toBe(201);
    expect(first.body.elongationPercent).toBeCloseTo(1, 9);
    expect(first.body).toMatchObject({ accountName: 'Test technician', corrected: false, doorId: world.fleet.doorId });
    // Cycles not noted: the counter had made 50,000 on day 100 and 150,000 on day 300.
    await record({ elongationPercent: 0.5 }, 'planner');
    expect((await chainOf()).none).toBe('too-few-measurements');
    await record({ elongationPercent: 1.5, measuredAt: day(300).toISOString() });
    const chain = await chainOf();
    // 1 % per 100,000 cycles; 1.5 % is the limit with fixed centres (chain makers' rules citing ASME B29.1).
    expect(chain).toMatchObject({ limitPercent: 1.5, limitSource: 'handbook', atLimit: true, none: null });
    expect(chain.line.percentPer100kCycles).toBeCloseTo(1, 3);
    expect(chain.line.cyclesAtLimit / 150_000).toBeCloseTo(1, 3);
    expect(chain.measurements.map((each: { elongationPercent: number }) => each.elongationPercent)).toEqual([0.5, expect.closeTo(1, 9), 1.5]);
  });

  it('goes by the chain’s own limit where that is the tighter, and by the sprocket’s: 200 / 80 teeth = 2.5 %', async () => {
    const { callers, fleet } = world;
    const path = `positions/${fleet.chainPositionId}`;
    const patch = async (fields: object) => callers.planner.patch(path, (await callers.planner.get(path)).body.version, fields);
    expect((await patch({ sprocketTeeth: 4 })).body.errors[0].field).toBe('sprocketTeeth');
    expect((await patch({ fixedCentres: false, sprocketTeeth: 80 })).status).toBe(200);
    const chain = await chainOf();
    expect(chain).toMatchObject({ limitPercent: 2.5, limitSource: 'handbook', atLimit: false });
    expect(chain.line.cyclesAtLimit / 250_000).toBeCloseTo(1, 3);
    // 500 cycles a day from 200,000 or so: some hundred days.
    const ahead = (Date.parse(chain.limitOn.p50) - now.getTime()) / DAY_MS;
    expect(ahead).toBeGreaterThan(80);
    expect(ahead).toBeLessThan(120);
    expect(chain.limitOn.p10 <= chain.limitOn.p50 && chain.limitOn.p50 <= chain.limitOn.p90).toBe(true);
    await patch({ chainLimitPercent: 2 });
    expect(await chainOf()).toMatchObject({ limitPercent: 2, limitSource: 'maker' });
    await patch({ chainLimitPercent: 3 });
    expect(await chainOf()).toMatchObject({ limitPercent: 2.5, limitSource: 'handbook' });
  });

  it('is never changed, but corrected once by another one', async () => {
    const { callers, company, database, fleet } = world;
    const [last] = (await callers.planner.get(`chain-measurements?doorId=${fleet.doorId}`)).body.items;
    expect((await record({ elongationPercent: 1.2, measuredAt: day(300).toISOString(), correctsId: last.id })).status).toBe(201);
    expect((await chainOf()).measurements.map((each: { elongationPercent: number }) => each.elongationPercent).at(-1)).toBe(1.2);
    expect((await record({ elongationPercent: 1.1, correctsId: last.id })).body.errors[0].field).toBe('correctsId');
    expect((await callers.planner.get(`chain-measurements/${last.id}`)).body.corrected).toBe(true);
    await expect(database.store.withCompanySql(company, (client) => client.query('UPDATE chain_measurement SET elongation_percent = 0'))).rejects.toThrow(/permission denied/);
    const elsewhere = await callers.planner.post('chain-measurements', { fittedPartId: world.otherOwner.chainId, measuredAt: day(390).toISOString(), elongationPercent: 0.3 });
    expect(elsewhere.status).toBe(201);
    const seen = (await callers.owner.get('chain-measurements?limit=100')).body.items as { doorId: string }[];
    expect([seen.length, new Set(seen.map(({ doorId }) => doorId))]).toEqual([4, new Set([fleet.doorId])]);
    expect((await callers.owner.get(`chain-measurements/${elsewhere.body.id}`)).status).toBe(404);
  });

  it('can be part of something larger, and is undone with it', async () => {
    const { company, database, fleet } = world;
    const given = { fittedPartId: fleet.chainId, measuredAt: day(350).toISOString(), elongationPercent: 1.3 };
    await expect(database.store.withCompanySql(company, async (client) => {
      expect(await recordChainMeasurement(client, company, given, now)).toEqual({ id: expect.any(String) });
      throw new Error('the rest was refused');
    })).rejects.toThrow('the rest was refused');
    expect((await chainOf()).measurements).toHaveLength(3);
  });
});

describe('bearings', () => {
  it('reach L10 = (C/P)³ million turns (ISO 281), in the door’s own cycles and by its duty', async () => {
    const { callers, company, database, fleet } = world;
    const created = await callers.planner.post('positions', {
      doorTypeId: fleet.doorTypeId, kind: 'roller-bearings', name: 'Bearings', drawnX: 0.1, drawnY: 0.1, ordinal: 9,
      bearingKind: 'ball', bearingRatingKn: 14, bearingLoadKn: 7, turnsPerCycle: 16, bearingSource: 'a data sheet',
    });
    expect(created.status).toBe(201);
    await database.store.withCompany(company, (db) => db.fittedPart.create({ data: {
      companyId: company.companyId, id: newId(), doorId: fleet.doorId, positionId: created.body.id, fittedAt: day(0), fittedCycles: 0n,
    } }));
    const [bearing] = (await callers.owner.get(`doors/${fleet.doorId}/handbook-lives`)).body.bearings;
    // 2³ = 8 million turns, 16 a cycle: 500,000 cycles.
    expect(bearing).toMatchObject({ l10MillionTurns: 8, l10Cycles: 500_000, kind: 'ball', source: 'a data sheet' });
    // At some 200,000 of 500,000 cycles: 1 − exp(−((0.4 − 0.02)/4.439)^1.483), the makers' law in Shigley.
    const share = bearing.ageCycles / 500_000;
    expect(bearing.failedByNow).toBeCloseTo(1 - Math.exp(-(((share - 0.02) / 4.439) ** 1.483)), 9);
    const ahead = (Date.parse(bearing.reachedOn.p50) - now.getTime()) / DAY_MS;
    expect(ahead).toBeGreaterThan(550);
    expect(ahead).toBeLessThan(650);
    const { version } = (await callers.planner.get(`positions/${created.body.id}`)).body;
    expect((await callers.planner.patch(`positions/${created.body.id}`, version, { bearingLoadKn: null })).body.errors[0].field).toBe('bearingLoadKn');
    expect((await callers.owner.get(`doors/${world.otherOwner.doorId}/handbook-lives`)).status).toBe(404);
  });
});
