import { livesOf, partOutlook, posteriorModel, priorModel, dutyNodes, type DutyModel, type LifeRating } from '@lintel/engine';
import { kindsToRefit, newId, poolLives, projectCompany, refitPool } from '@lintel/store';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { shockAbsorbers } from '../published/wearLists.js';
import { openApiWorld, type ApiWorld } from '../support/apiWorld.js';

const DAY_MS = 86_400_000;
const START = Date.parse('2025-01-01T00:00:00Z');
const now = new Date(START + 400 * DAY_MS);
const day = (days: number) => new Date(START + days * DAY_MS);
/** As `makeSmallFleet` rates its drive chain. */
const chainRating: LifeRating = { b10Cycles: 300_000, b10Months: null, shape: 2.5, shapeSpread: 0.25, ratingSpread: 0.4 };

let world: ApiWorld;
beforeAll(async () => {
  world = await openApiWorld();
  const { company: { companyId }, fleet } = world;
  await world.database.store.withCompany(world.company, async (db) => {
    const [cold, cool] = [newId(), newId()];
    await db.zone.createMany({ data: [
      { companyId, id: cold, siteId: fleet.siteId, name: 'Cold', temperatureClass: 'freezer' },
      { companyId, id: cool, siteId: fleet.siteId, name: 'Cool', temperatureClass: 'cooler' },
    ] });
    await db.door.updateMany({ where: { id: fleet.doorId }, data: { fromZoneId: cool, toZoneId: cold, installedOn: day(0) } });
    await db.counter.updateMany({ where: { id: fleet.counterId }, data: { fittedAt: day(0) } });
    // 100 cycles a day, read every five days to the end.
    await db.reading.createMany({ data: Array.from({ length: 81 }, (_, k) => ({
      companyId, id: newId(), doorId: fleet.doorId, counterId: fleet.counterId, at: day(k * 5), value: BigInt(k * 500), source: 'form' as const,
    })) });
    await db.fittedPart.deleteMany({ where: { id: fleet.chainId } });
  });
});
afterAll(() => world?.close());

type PartFields = { fittedAt: Date; fittedCycles?: bigint; ageAtFitting?: bigint; removedAt?: Date; removedCycles?: bigint; removalReason?: 'failed' | 'worn' | 'preventive' | 'damaged' | 'upgraded' | 'entered_in_error' };

async function fit(positionId: string, parts: readonly PartFields[]): Promise<string[]> {
  const { company, fleet, database } = world;
  const rows = parts.map((part) => ({ companyId: company.companyId, id: newId(), doorId: fleet.doorId, positionId, ...part }));
  await database.store.withCompany(company, (db) => db.fittedPart.createMany({ data: rows }));
  return rows.map((row) => row.id);
}

const inUse = async (positionId: string) => (await world.callers.administrator.get(`wear-models?positionId=${positionId}&inUse=true`)).body.items;
const jobs = async (job: string) => (await world.database.owner.query('SELECT payload FROM outbox WHERE company_id = $1 AND job = $2', [world.company.companyId, job])).rows;

describe('lives', () => {
  it('are told from fitted parts: events, suspensions, late entries; ages as noted, or as the counter went', async () => {
    const { fleet, company, database } = world;
    await projectCompany(database.store, company, { now });
    const ids = await fit(fleet.chainPositionId, [
      { fittedAt: day(10), removedAt: day(110), removalReason: 'failed' },
      { fittedAt: day(110), removedAt: day(160), removalReason: 'worn', fittedCycles: 11_000n, removedCycles: 16_500n },
      { fittedAt: day(160), removedAt: day(210), removalReason: 'preventive', ageAtFitting: 2_000n },
      { fittedAt: day(210), removedAt: day(220), removalReason: 'damaged' },
      { fittedAt: day(220), removedAt: day(230), removalReason: 'entered_in_error' },
      { fittedAt: day(230), removedAt: day(230), removalReason: 'failed' },
      { fittedAt: day(300) },
    ]);
    const lives = await database.store.withCompanySql(company, (client) => poolLives(client, company.companyId, 'drive-chain', now));
    const told = ids.flatMap((id) => lives.filter((life) => life.partId === id));
    const rounded = (age: { age: number; entry: number } | null) => (age === null ? null : [Math.round(age.age), age.entry]);
    expect(told.map(({ failed, running, cycles, days, climate }) => [failed, running, rounded(cycles), rounded(days), climate])).toEqual([
      [true, false, [10_000, 0], [100, 0], 'freezer'],
      [true, false, [5_500, 0], [50, 0], 'freezer'],
      [false, false, [7_000, 2_000], null, 'freezer'],
      [false, false, [1_000, 0], [10, 0], 'freezer'],
      // A failure at age 0 is no life.
      [true, false, null, null, 'freezer'],
      [false, true, [10_000, 0], [100, 0], 'freezer'],
    ]);
    await database.store.withCompany(company, (db) => db.fittedPart.deleteMany({ where: { id: { in: ids } } }));
  });
});

describe('a refit', () => {
  let running: string;
  beforeAll(async () => {
    const { fleet, company, database } = world;
    // Failed at the published ages, else taken off in time; and one that runs.
    await fit(fleet.chainPositionId, shockAbsorbers.map(({ km, mode }) => ({
      fittedAt: day(0), fittedCycles: 0n, removedAt: day(300), removedCycles: BigInt(km), removalReason: mode === 0 ? 'preventive' as const : 'failed' as const,
    })));
    [running] = await fit(fleet.chainPositionId, [{ fittedAt: day(399), fittedCycles: 39_900n }]) as [string];
    await projectCompany(database.store, company, { now });
  });

  it('finds what R finds in 38 shock absorbers (O’Connor; Meeker & Escobar 1998, table C.2), and says whose lives they were', async () => {
    const { fleet, company, database, callers } = world;
    const { store } = database;
    expect(await store.withCompanySql(company, (client) => kindsToRefit(client, company.companyId, now))).toEqual(['drive-chain']);
    expect(await refitPool(store, company, 'drive-chain', now)).toEqual({ models: 2, made: 2 });
    // The other door type has one running chain: its model learns from all chains.
    expect(await inUse(world.otherOwner.chainPositionId)).toMatchObject([{ number: 1, pool: 'kind', climate: 'unknown', failures: 11 }]);
    const [model] = await inUse(fleet.chainPositionId);
    // The part that runs is a 39th life; at 100 cycles it says nothing of shape and scale to four digits.
    expect(model).toMatchObject({ number: 1, pool: 'type-in-climate', climate: 'freezer', failures: 11, suspensions: 28, setAside: 0, unit: 'cycles', fixed: false, noFit: null });
    const { fit: law, plot } = (await callers.planner.get(`wear-models/${model.id}/analysis`)).body;
    expect(law.shape / 3.1604703).toBeCloseTo(1, 4);
    expect(law.scale / 27_718.718).toBeCloseTo(1, 4);
    expect(law.b10 / 13_600.035).toBeCloseTo(1, 4);
    expect(plot.failures).toHaveLength(11);
    expect(plot.survival[0].age).toBe(6700);
    expect(model.b10Low).toBeLessThan(model.b10);
    expect(model.b10).toBeLessThan(model.b10High);
    expect((await store.withCompanySql(company, (client) => kindsToRefit(client, company.companyId, now)))).toEqual([]);
  });

  it('is projected with, and named in the outlook: the posterior of rating and lives instead of the rating alone', async () => {
    const { fleet, company, database, callers } = world;
    expect(await jobs('project-company')).toHaveLength(1);
    const before = (await callers.planner.get(`fitted-parts/${running}`)).body;
    expect(before.wearModelId).toBeNull();
    await projectCompany(database.store, company, { now });
    const [model] = await inUse(fleet.chainPositionId);
    const after = (await callers.planner.get(`fitted-parts/${running}`)).body;
    expect(after.wearModelId).toBe(model.id);
    const lives = livesOf([...shockAbsorbers.map(({ km, mode }) => ({ age: km, event: mode === 0 ? 0 as const : 1 as const })), { age: before.age, event: 0 as const }]);
    const { rows } = await database.owner.query<{ model: DutyModel }>('SELECT model FROM door_duty WHERE door_id = $1', [fleet.doorId]);
    const nodes = dutyNodes(rows[0]!.model);
    const [prior, posterior] = [priorModel(chainRating), posteriorModel(chainRating, lives)].map((law) => partOutlook(law, before.age, nodes));
    expect(before.remaining50 / prior!.remaining.p50).toBeCloseTo(1, 6);
    expect(after.remaining50 / posterior!.remaining.p50).toBeCloseTo(1, 4);
    expect(after.chance365 / posterior!.chance365).toBeCloseTo(1, 4);
    expect(after.remaining50).toBeLessThan(before.remaining50 / 3);
    // The facility owner sees the outlook; what the company learned stays its own.
    expect((await callers.owner.get(`fitted-parts/${running}`)).body.remaining50).toBe(after.remaining50);
  });

  it('makes no new version of the same facts, also when asked twice at once, until the version is a month old', async () => {
    const { company, database } = world;
    const again = await Promise.all([1, 2].map(() => refitPool(database.store, company, 'drive-chain', new Date(now.getTime() + 5 * DAY_MS))));
    expect(again.map(({ made }) => made)).toEqual([0, 0]);
    expect(await refitPool(database.store, company, 'drive-chain', new Date(now.getTime() + 31 * DAY_MS))).toEqual({ models: 2, made: 2 });
  });

  it('leaves a fixed version in use until it is released, and notes who did it', async () => {
    const { fleet, company, database, callers } = world;
    const versions = (await callers.administrator.get(`wear-models?positionId=${fleet.chainPositionId}&sort=number`)).body.items;
    expect(versions.map((each: { number: number; inUse: boolean }) => [each.number, each.inUse])).toEqual([[1, false], [2, true]]);
    expect((await callers.planner.post(`wear-models/${versions[0].id}/fix`, { note: 'x' })).status).toBe(403);
    expect((await callers.administrator.post(`wear-models/${versions[0].id}/fix`, {})).status).toBe(400);
    expect((await callers.administrator.post(`wear-models/${versions[0].id}/fix`, { note: 'x' }, { 'if-match': '"99"' })).status).toBe(412);
    const fixed = await callers.administrator.post(`wear-models/${versions[0].id}/fix`, { note: 'a bad batch since' });
    expect([fixed.status, fixed.body.fixed, fixed.body.inUse, fixed.body.fixedByName]).toEqual([200, true, true, 'Test administrator']);
    expect((await callers.administrator.post(`wear-models/${versions[0].id}/fix`, { note: 'again' })).status).toBe(409);
    await fit(fleet.chainPositionId, [{ fittedAt: day(0), fittedCycles: 0n, removedAt: day(310), removedCycles: 900n, removalReason: 'failed' }]);
    await refitPool(database.store, company, 'drive-chain', now);
    expect((await inUse(fleet.chainPositionId)).map((each: { number: number }) => each.number)).toEqual([1]);
    await projectCompany(database.store, company, { now });
    expect((await callers.planner.get(`fitted-parts/${running}`)).body.wearModelId).toBe(versions[0].id);
    const released = await callers.administrator.post(`wear-models/${versions[0].id}/release`, { note: 'the batch is used up' });
    expect([released.status, released.body.inUse]).toEqual([200, false]);
    expect((await inUse(fleet.chainPositionId)).map((each: { number: number; failures: number }) => [each.number, each.failures])).toEqual([[3, 12]]);
    const { items } = (await callers.administrator.get('ledger?subjectKind=wear-model')).body;
    const actions = items.map((entry: { action: string }) => entry.action);
    for (const action of ['wear-models-refitted', 'wear-model-fixed', 'wear-model-released']) expect(actions).toContain(action);
  });

  it('is asked for when a life begins, ends or is rated otherwise', async () => {
    const { fleet, database, callers } = world;
    const asks = async (act: () => Promise<{ status: number }>) => {
      await database.owner.query(`UPDATE outbox SET handed_at = now() WHERE job = 'refit-pool'`);
      expect((await act()).status).toBeLessThan(300);
      return (await database.owner.query(`SELECT payload FROM outbox WHERE job = 'refit-pool' AND handed_at IS NULL`)).rows;
    };
    const chain = [{ payload: { kind: 'drive-chain' } }];
    expect(await asks(() => callers.technician.post(`fitted-parts/${running}/remove`, { at: now.toISOString(), reason: 'failed' }))).toEqual(chain);
    expect(await asks(() => callers.technician.post('fitted-parts', { doorId: fleet.doorId, positionId: fleet.chainPositionId, fittedAt: now.toISOString() }))).toEqual(chain);
    expect(await asks(() => callers.planner.patch(`positions/${fleet.chainPositionId}`, 1, { b10Cycles: 250_000 }))).toEqual(chain);
    expect(await asks(() => callers.planner.patch(`positions/${fleet.chainPositionId}`, 2, { name: 'Chain' }))).toEqual([]);
  });

  it('shows nothing of it to facility owners and other companies', async () => {
    const { fleet, database, callers, otherCompany } = world;
    const [model] = await inUse(fleet.chainPositionId);
    for (const role of ['owner', 'technician'] as const) expect((await callers[role].get('wear-models')).status).toBe(403);
    for (const path of [`wear-models/${model.id}`, `wear-models/${model.id}/analysis`]) expect((await callers.owner.get(path)).status).toBe(403);
    expect((await callers.owner.get(`doors/${fleet.doorId}/renewals`)).status).toBe(403);
    const seen = (context: typeof otherCompany) => database.store.withCompany(context, (db) => db.wearModel.count());
    expect([await seen(otherCompany), await seen({ ...world.company, ownerId: fleet.ownerId })]).toEqual([0, 0]);
    expect(await seen(world.company)).toBeGreaterThan(0);
  });
});

describe('renewal', () => {
  it('needs both costs and their currency; then says for each part, in money, whether to replace it now', async () => {
    const { fleet, company, database, callers } = world;
    const { version } = (await callers.planner.get(`positions/${fleet.chainPositionId}`)).body;
    const lacking = await callers.planner.patch(`positions/${fleet.chainPositionId}`, version, { plannedCost: 60_000 });
    expect([lacking.status, lacking.body.errors.map((error: { field: string }) => error.field)]).toEqual([400, ['failureCost', 'costCurrency']]);
    await callers.planner.patch(`positions/${fleet.chainPositionId}`, version, { plannedCost: 60_000, failureCost: 600_000, costCurrency: 'EUR' });
    expect((await callers.owner.get(`positions/${fleet.chainPositionId}`)).body.plannedCost).toBeNull();
    await refitPool(database.store, company, 'drive-chain', now);
    await projectCompany(database.store, company, { now });
    const { items } = (await callers.technician.get(`doors/${fleet.doorId}/renewals`)).body;
    expect(items).toHaveLength(1);
    const [{ costs, plan, visit }] = items;
    expect(costs).toEqual({ plannedCost: 60_000, failureCost: 600_000, currency: 'EUR' });
    expect(plan.costRate).toBeLessThan(plan.toFailure);
    expect(visit.riskCost).toBeCloseTo(540_000 * visit.chance, 4);
    expect(visit.decision).toBe(visit.riskCost > visit.lifeCost ? 'replace' : 'leave');
    const [model] = await inUse(fleet.chainPositionId);
    const { renewal } = (await callers.planner.get(`wear-models/${model.id}/analysis`)).body;
    expect(renewal.plan).toEqual(plan);
    // The drawn curve has its least at the plan's age, to the width of its steps.
    const least = renewal.curve.reduce((a: { costRate: number }, b: { costRate: number }) => (b.costRate < a.costRate ? b : a));
    expect(Math.abs(least.age - plan.age)).toBeLessThan(2 * renewal.curve[0].age);
    expect(least.costRate).toBeGreaterThanOrEqual(plan.costRate * (1 - 1e-6));
  });
});

describe('the climate', () => {
  it('tells how many times as long parts live in a freezer: half, where each life there is half of one elsewhere', async () => {
    const { fleet, company, company: { companyId }, database, callers } = world;
    const [positionId, doorId, zoneId] = [newId(), newId(), newId()];
    const ages = [4_000, 9_000, 12_000, 17_000, 21_000, 30_000];
    await database.store.withCompany(company, async (db) => {
      await db.position.create({ data: {
        companyId, id: positionId, doorTypeId: fleet.doorTypeId, kind: 'side-guides', name: 'Guides', drawnX: 0.1, drawnY: 0.5, ordinal: 9,
        b10Cycles: 20_000n, lifeShape: 2, shapeSpread: 0.3, ratingSpread: 0.5,
      } });
      await db.zone.create({ data: { companyId, id: zoneId, siteId: fleet.siteId, name: 'Dock', temperatureClass: 'ambient' } });
      await db.door.create({ data: { companyId, id: doorId, siteId: fleet.siteId, doorTypeId: fleet.doorTypeId, name: 'D-09', fromZoneId: zoneId, widthMm: 3000, heightMm: 3500, installedOn: day(0) } });
      const life = { companyId, positionId, fittedAt: day(0), fittedCycles: 0n, removedAt: day(300), removalReason: 'failed' as const };
      await db.fittedPart.createMany({ data: ages.flatMap((age) => [
        { ...life, id: newId(), doorId, removedCycles: BigInt(age) },
        { ...life, id: newId(), doorId: fleet.doorId, removedCycles: BigInt(age / 2) },
      ]) });
    });
    expect(await refitPool(database.store, company, 'side-guides', now)).toEqual({ models: 2, made: 2 });
    const models = await inUse(positionId);
    expect(models.map(({ climate, failures }: { climate: string; failures: number }) => [climate, failures]).sort()).toEqual([['ambient', 6], ['freezer', 6]]);
    const [one, other] = models.sort((a: { climate: string }, b: { climate: string }) => (a.climate < b.climate ? -1 : 1));
    const { plot, fit: law } = (await callers.planner.get(`wear-models/${one.id}/analysis`)).body;
    expect(plot.freezer.factor).toBeCloseTo(0.5, 6);
    expect(plot.freezer.low * plot.freezer.high).toBeCloseTo(0.25, 6);
    const cold = (await callers.planner.get(`wear-models/${other.id}/analysis`)).body;
    expect(cold.fit.scale / law.scale).toBeCloseTo(0.5, 6);
    expect(cold.fit.shape / law.shape).toBeCloseTo(1, 6);
  });
});

describe('a position that loses its rating', () => {
  it('has no model in use; with a rating again it has, under the next number', async () => {
    const { fleet, company, database, callers } = world;
    const [position] = (await callers.planner.get(`positions?doorTypeId=${fleet.doorTypeId}&kind=side-guides`)).body.items;
    const path = `positions/${position.id}`;
    expect((await callers.planner.patch(path, position.version, { b10Cycles: null })).status).toBe(200);
    expect(await refitPool(database.store, company, 'side-guides', now)).toEqual({ models: 0, made: 0 });
    expect(await inUse(position.id)).toEqual([]);
    expect((await callers.planner.patch(path, position.version + 1, { b10Cycles: 20_000 })).status).toBe(200);
    expect(await refitPool(database.store, company, 'side-guides', now)).toEqual({ models: 2, made: 2 });
    expect((await inUse(position.id)).map(({ number }: { number: number }) => number)).toEqual([2, 2]);
  });
});

describe('a safety device', () => {
  it('is exchanged at the B10D by the door’s own operations, or when its mission time ends (ISO 13849-1 annex C)', async () => {
    const { fleet, company, database, callers } = world;
    const { version } = (await callers.planner.get(`positions/${fleet.beamPositionId}`)).body;
    await fit(fleet.beamPositionId, [{ fittedAt: day(0), ageAtFitting: 5_000n }]);
    await projectCompany(database.store, company, { now });
    expect((await callers.owner.get(`doors/${fleet.doorId}/safety-lives`)).body).toEqual({ items: [] });
    expect((await callers.planner.patch(`positions/${fleet.beamPositionId}`, version, { b10dCycles: 100_000 })).status).toBe(200);
    const { rows } = await database.owner.query<{ p90: number }>(`SELECT cycles_per_day_90 AS p90 FROM door_duty WHERE door_id = $1`, [fleet.doorId]);
    const operations = rows[0]!.p90 * 365.25;
    const [life] = (await callers.owner.get(`doors/${fleet.doorId}/safety-lives`)).body.items;
    // T10D = B10D / n_op, MTTF_D = ten times that; what the device had done before it came here counts.
    expect(life.tenthYears).toBeCloseTo(100_000 / operations, 9);
    expect(life.meanYears).toBeCloseTo(1_000_000 / operations, 8);
    const wornOut = START + ((100_000 - 5_000) / operations) * 365.25 * DAY_MS;
    expect(Math.abs(Date.parse(life.exchangeOn) - wornOut)).toBeLessThan(DAY_MS);
    expect(life).toMatchObject({ byMissionTime: false, overdue: wornOut < Date.now() });
    await callers.planner.patch(`positions/${fleet.beamPositionId}`, version + 1, { b10dCycles: 20_000_000 });
    const [long] = (await callers.owner.get(`doors/${fleet.doorId}/safety-lives`)).body.items;
    expect(long).toMatchObject({ byMissionTime: true, overdue: false });
    expect(Math.abs(Date.parse(long.exchangeOn) - (START + 20 * 365.25 * DAY_MS))).toBeLessThan(DAY_MS);
    expect((await callers.owner.get(`doors/${world.otherOwner.doorId}/safety-lives`)).status).toBe(404);
  });
});
