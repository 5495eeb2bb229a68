import { newId, type CompanyContext, type Store } from '@lintel/store';
import { makeSmallFleet, type SmallFleet } from './fleet.js';

export const DAY_MS = 86_400_000;

/** A fleet with one door of each kind that a projection must cope with; figures invented, none of them a result. */
export interface ProjectionFleet extends SmallFleet {
  /** Doors by what is special about them. */
  doors: Record<string, string>;
  beatId: string;
  cyclesTaskId: string;
  fixedTaskId: string;
}

const STORIES: Record<string, { readings: [day: number, value: number][]; modulus?: bigint }> = {
  steady: { readings: Array.from({ length: 60 }, (_, k) => [k * 5, 1000 + k * 700]) },
  rollover: { readings: Array.from({ length: 40 }, (_, k) => [k * 7, (99_000 + k * 900) % 100_000]), modulus: 100_000n },
  reset: { readings: Array.from({ length: 40 }, (_, k) => [k * 7, k < 20 ? 5000 + k * 800 : (k - 20) * 800]) },
  mistyped: { readings: Array.from({ length: 40 }, (_, k) => [k * 7, k === 15 ? 900_000 : 5000 + k * 800]) },
  stuck: { readings: Array.from({ length: 40 }, (_, k) => [k * 7, 5000 + (k > 20 && k < 32 ? 20 : k) * 800]) },
  single: { readings: [[200, 45_000]] },
  none: { readings: [] },
};

/** Day 0 of the stories. */
export const START = Date.UTC(2025, 0, 6, 9);

export async function makeProjectionFleet(store: Store, context: CompanyContext): Promise<ProjectionFleet> {
  const fleet = await makeSmallFleet(store, context);
  const { companyId } = context;
  const doors: Record<string, string> = { bare: fleet.doorId };
  const beatId = newId();
  const [cyclesTaskId, fixedTaskId, planId] = [newId(), newId(), newId()];
  await store.withCompany(context, async (db) => {
    // The light beam ages by time; the roller bearings have a rating without a shape; the sounder has none at all.
    await db.position.update({ where: { companyId_id: { companyId, id: fleet.beamPositionId } }, data: { b10Months: 60, lifeShape: 1.4, shapeSpread: 0.2, ratingSpread: 0.4 } });
    const bearingsId = newId();
    const sounderId = newId();
    const place = { companyId, doorTypeId: fleet.doorTypeId, drawnX: 0.5, drawnY: 0.5 };
    await db.position.createMany({
      data: [
        { ...place, id: bearingsId, kind: 'roller-bearings', name: 'Bearings', ordinal: 3, b10Cycles: 500_000n },
        { ...place, id: sounderId, kind: 'sounder', name: 'Sounder', ordinal: 4 },
      ],
    });
    await db.plan.create({ data: { companyId, id: planId, doorTypeId: fleet.doorTypeId, name: 'Plan' } });
    const task = { companyId, planId, minutes: 30, source: 'invented', skills: [], parts: [] };
    await db.task.createMany({
      data: [
        { ...task, id: beatId, name: 'Safety inspection', safety: true, intervalMonths: 12, intervalCycles: 60_000n, earlyDays: 14 },
        { ...task, id: cyclesTaskId, name: 'Chain', intervalCycles: 50_000n, graceDays: 30 },
        { ...task, id: fixedTaskId, name: 'Spring clean', intervalMonths: 6, anchor: 'fixed', fixedFrom: new Date('2025-03-31'), earlyDays: 10, graceDays: 10 },
      ],
    });
    const door = { companyId, siteId: fleet.siteId, doorTypeId: fleet.doorTypeId, widthMm: 3000, heightMm: 3500, installedOn: new Date('2024-12-01') };
    for (const [name, { readings, modulus }] of Object.entries(STORIES)) {
      const doorId = newId();
      const counterId = newId();
      doors[name] = doorId;
      await db.door.create({ data: { ...door, id: doorId, name } });
      const known = name === 'single' ? { startCycles: 0n, startValue: 0n } : {};
      await db.counter.create({ data: { companyId, id: counterId, doorId, fittedAt: new Date(START - 20 * DAY_MS), modulus: modulus ?? null, ...known } });
      await db.reading.createMany({
        data: readings.map(([day, value]) => ({ companyId, id: newId(), doorId, counterId, at: new Date(START + day * DAY_MS), value: BigInt(value), source: 'form' as const })),
      });
      await db.fittedPart.createMany({
        data: [
          { companyId, id: newId(), doorId, positionId: fleet.chainPositionId, fittedAt: new Date(START + 30 * DAY_MS), fittedCycles: 3000n, ageAtFitting: 10_000n },
          { companyId, id: newId(), doorId, positionId: bearingsId, fittedAt: new Date(START + 33.3 * DAY_MS) },
          { companyId, id: newId(), doorId, positionId: fleet.beamPositionId, fittedAt: new Date(START - 10 * DAY_MS) },
          { companyId, id: newId(), doorId, positionId: sounderId, fittedAt: new Date(START) },
          { companyId, id: newId(), doorId, positionId: sounderId, fittedAt: new Date(START - 20 * DAY_MS), removedAt: new Date(START), removalReason: 'failed' },
        ],
      });
      await db.completion.createMany({
        data: [
          { companyId, id: newId(), doorId, taskId: beatId, doneAt: new Date(START + 10 * DAY_MS), passed: true },
          { companyId, id: newId(), doorId, taskId: beatId, doneAt: new Date(START + 200 * DAY_MS), passed: false },
          { companyId, id: newId(), doorId, taskId: cyclesTaskId, doneAt: new Date(START + 51.7 * DAY_MS) },
        ],
      });
    }
  });
  return { ...fleet, doors, beatId, cyclesTaskId, fixedTaskId };
}
