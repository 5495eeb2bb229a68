import type { DoorKind } from '@lintel/contract';
import type { CompanyContext, CompanyDb } from '../context.js';
import { newId } from '../context.js';
import { writeLedger } from '../ledger/writeLedger.js';
import { libraryDoorType } from './library.js';
import type { LibraryPosition, LibraryTask } from './libraryTypes.js';

/**
 * Gives a company a door type from the library, with its positions, plans and tasks, in the caller's transaction.
 * @param name the company's name for it; left out: the library's, with a number behind it where that is taken already.
 * @returns the id of the door type.
 */
export async function addDoorTypeFromLibrary(
  db: CompanyDb,
  context: CompanyContext,
  kind: DoorKind,
  name?: string,
): Promise<string> {
  const { doorType, positions, plans } = libraryDoorType(kind);
  const { companyId } = context;
  const doorTypeId = newId();
  await db.doorType.create({
    data: {
      ...doorType,
      companyId,
      id: doorTypeId,
      name: name ?? (await freeName(db, doorType.name)),
      heated: doorType.heated ?? false,
      notes: doorType.notes ?? null,
    },
  });
  await db.position.createMany({ data: positions.map((position) => positionRow(companyId, doorTypeId, position)) });
  for (const { plan, tasks } of plans) {
    const planId = newId();
    await db.plan.create({ data: { companyId, id: planId, doorTypeId, name: plan.name } });
    await db.task.createMany({ data: tasks.map((task) => taskRow(companyId, planId, task)) });
  }
  await writeLedger(db, context, {
    action: 'door-type-added',
    subjectKind: 'door-type',
    subjectId: doorTypeId,
    detail: { fromLibrary: kind },
  });
  return doorTypeId;
}

async function freeName(db: CompanyDb, wanted: string): Promise<string> {
  const taken = await db.doorType.findMany({ where: { name: { startsWith: wanted } }, select: { name: true } });
  const names = new Set(taken.map((type) => type.name));
  let name = wanted;
  for (let number = 2; names.has(name); number++) name = `${wanted} ${number}`;
  return name;
}

function positionRow(companyId: string, doorTypeId: string, position: LibraryPosition) {
  return {
    companyId,
    id: newId(),
    doorTypeId,
    kind: position.kind,
    name: position.name,
    safetyDevice: position.safetyDevice ?? false,
    drawnX: position.drawnX,
    drawnY: position.drawnY,
    ordinal: position.ordinal,
    b10Cycles: position.b10Cycles == null ? null : BigInt(position.b10Cycles),
    b10Months: position.b10Months ?? null,
    lifeShape: position.lifeShape ?? null,
    shapeSpread: position.shapeSpread ?? null,
    ratingSpread: position.ratingSpread ?? null,
    ratingSource: position.ratingSource ?? null,
  };
}

function taskRow(companyId: string, planId: string, task: LibraryTask) {
  return {
    companyId,
    id: newId(),
    planId,
    name: task.name,
    safety: task.safety ?? false,
    intervalCycles: task.intervalCycles == null ? null : BigInt(task.intervalCycles),
    intervalMonths: task.intervalMonths ?? null,
    earlyDays: task.earlyDays ?? 0,
    graceDays: task.graceDays ?? 0,
    minutes: task.minutes,
    skills: task.skills ?? [],
    checklist: (task.checklist ?? []).map((step) => ({ ...step })),
    parts: task.parts ?? [],
    source: task.source,
  };
}
