import type { CompanyContext, CompanyDb } from '../context.js';
import { newId } from '../context.js';
import { writeLedger } from '../ledger/writeLedger.js';
import { libraryDoorType } from './library.js';
import type { DoorKind, LibraryPosition, LibraryTask } from './libraryTypes.js';

/**
 * Gives a company a door type from the library, with its positions, plan and tasks, in the caller's transaction. Where the
 * company has a type of that name already, archived or not, a number is added to the new one's.
 * @returns the id of the door type.
 */
export async function addDoorTypeFromLibrary(db: CompanyDb, context: CompanyContext, kind: DoorKind): Promise<string> {
  const type = libraryDoorType(kind);
  const { companyId } = context;
  const doorTypeId = newId();
  await db.doorType.create({
    data: {
      companyId,
      id: doorTypeId,
      name: await freeName(db, type.name),
      kind: type.kind,
      supplyVolts: type.supplyVolts,
      heated: type.heated,
      widthMm: type.widthMm,
      heightMm: type.heightMm,
      minCycleSeconds: type.minCycleSeconds,
      notes: type.notes,
    },
  });
  await db.position.createMany({
    data: type.positions.map((position, index) => positionRow(companyId, doorTypeId, position, index + 1)),
  });
  const planId = newId();
  await db.plan.create({ data: { companyId, id: planId, doorTypeId, name: type.planName } });
  await db.task.createMany({ data: type.tasks.map((task) => taskRow(companyId, planId, task)) });
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

function positionRow(companyId: string, doorTypeId: string, position: LibraryPosition, ordinal: number) {
  const { rating } = position;
  return {
    companyId,
    id: newId(),
    doorTypeId,
    kind: position.kind,
    name: position.name,
    safetyDevice: position.safetyDevice,
    drawnX: position.drawnX,
    drawnY: position.drawnY,
    ordinal,
    b10Cycles: rating.b10Cycles === undefined ? null : BigInt(rating.b10Cycles),
    b10Months: rating.b10Months ?? null,
    lifeShape: rating.shape,
    shapeSpread: rating.shapeSpread,
    ratingSpread: rating.ratingSpread,
    ratingSource: rating.source,
  };
}

function taskRow(companyId: string, planId: string, task: LibraryTask) {
  return {
    companyId,
    id: newId(),
    planId,
    name: task.name,
    safety: task.safety,
    intervalCycles: task.intervalCycles === undefined ? null : BigInt(task.intervalCycles),
    intervalMonths: task.intervalMonths ?? null,
    earlyDays: task.earlyDays,
    graceDays: task.graceDays,
    minutes: task.minutes,
    skills: [...task.skills],
    checklist: task.checklist.map((step) => ({ ...step })),
    parts: [...task.parts],
    source: task.source,
  };
}
