import type { DoorCreate } from '@lintel/contract';
import { newId, type CompanyContext, type CompanyDb } from '../context.js';

/**
 * Adds a door with what every door carries from its first day: a counter that starts at 0 and a part in each position of
 * its type. A door that was in use before it was entered is put right afterwards, on its counter and its parts; without
 * them it could take no reading and would have no parts to watch.
 * @returns the id of the door. @throws when the door type does not exist, or the database's own refusals.
 */
export async function addDoor(db: CompanyDb, { companyId }: CompanyContext, given: DoorCreate): Promise<string> {
  const type = await db.doorType.findFirstOrThrow({
    where: { id: given.doorTypeId },
    include: { positions: { where: { archivedAt: null } } },
  });
  const doorId = newId();
  const installed = new Date(`${given.installedOn}T00:00:00Z`);
  await db.door.create({
    data: {
      companyId,
      id: doorId,
      siteId: given.siteId,
      doorTypeId: type.id,
      name: given.name,
      serial: given.serial ?? null,
      fromZoneId: given.fromZoneId ?? null,
      toZoneId: given.toZoneId ?? null,
      widthMm: given.widthMm ?? type.widthMm,
      heightMm: given.heightMm ?? type.heightMm,
      installedOn: installed,
      maker: given.maker ?? null,
      installer: given.installer ?? null,
      notes: given.notes ?? null,
    },
  });
  if (given.bare) return doorId;
  await db.counter.create({
    data: { companyId, id: newId(), doorId, fittedAt: installed, startCycles: 0n, startValue: 0n },
  });
  await db.fittedPart.createMany({
    data: type.positions.map((position) => ({
      companyId, id: newId(), doorId, positionId: position.id, fittedAt: installed, fittedCycles: 0n,
    })),
  });
  return doorId;
}
