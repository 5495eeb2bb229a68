import { newId, type CompanyContext, type Store } from '@lintel/store';

/** Ids of a small fleet: one owner, one site, one door type with two positions, one door with its counter. */
export interface SmallFleet {
  ownerId: string;
  siteId: string;
  doorTypeId: string;
  chainPositionId: string;
  beamPositionId: string;
  doorId: string;
  counterId: string;
  chainId: string;
}

/** Makes a small fleet of invented figures for tests of the floors (never of computed results). */
export async function makeSmallFleet(store: Store, context: CompanyContext, tag = ''): Promise<SmallFleet> {
  const ids = {
    ownerId: newId(), siteId: newId(), doorTypeId: newId(), chainPositionId: newId(), beamPositionId: newId(),
    doorId: newId(), counterId: newId(), chainId: newId(),
  };
  const { companyId } = context;
  const installed = new Date('2024-01-15T00:00:00Z');
  await store.withCompany(context, async (db) => {
    await db.owner.create({ data: { companyId, id: ids.ownerId, name: `Owner${tag}` } });
    await db.site.create({
      data: { companyId, id: ids.siteId, ownerId: ids.ownerId, name: `Site${tag}`, countryCode: 'NO', timeZone: 'Europe/Oslo' },
    });
    await db.doorType.create({
      data: { companyId, id: ids.doorTypeId, name: `Freezer type${tag}`, kind: 'freezer', supplyVolts: 240, heated: true, widthMm: 3000, heightMm: 3500, minCycleSeconds: 6 },
    });
    const rated = { b10Cycles: 300_000n, lifeShape: 2.5, shapeSpread: 0.25, ratingSpread: 0.4, ratingSource: 'default, replace with the maker\'s' };
    await db.position.createMany({
      data: [
        { companyId, id: ids.chainPositionId, doorTypeId: ids.doorTypeId, kind: 'drive-chain', name: 'Drive chain', drawnX: 0.95, drawnY: 0.1, ordinal: 1, ...rated },
        { companyId, id: ids.beamPositionId, doorTypeId: ids.doorTypeId, kind: 'light-beam', name: 'Safety beam', safetyDevice: true, drawnX: 0.05, drawnY: 0.9, ordinal: 2 },
      ],
    });
    await db.door.create({
      data: { companyId, id: ids.doorId, siteId: ids.siteId, doorTypeId: ids.doorTypeId, name: `F-01${tag}`, widthMm: 3000, heightMm: 3500, installedOn: installed },
    });
    await db.counter.create({ data: { companyId, id: ids.counterId, doorId: ids.doorId, fittedAt: installed, startCycles: 0n, startValue: 0n } });
    await db.fittedPart.create({ data: { companyId, id: ids.chainId, doorId: ids.doorId, positionId: ids.chainPositionId, fittedAt: installed, fittedCycles: 0n } });
  });
  return ids;
}
