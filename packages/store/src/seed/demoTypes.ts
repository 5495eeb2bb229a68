import type { DoorKind, PartKind } from '@lintel/contract';
import type { CompanyContext, CompanyDb } from '../context.js';
import { addDoorTypeFromLibrary } from '../fleet/libraryAdd.js';
import type { DemoTask } from './completionHistory.js';
import type { DemoPosition } from './partHistory.js';
import type { Scenario } from './scenario.js';

export interface DemoType {
  id: string;
  kind: DoorKind;
  widthMm: number;
  heightMm: number;
  positions: DemoPosition[];
  tasks: DemoTask[];
}

/** The generic door types of the library, taken over into the demo's company; of some parts their maker knows more, and most have costs. */
export async function addDemoTypes(db: CompanyDb, context: CompanyContext, { makersRatings, costs, safetyLives, handbook }: Scenario): Promise<DemoType[]> {
  const types: DemoType[] = [];
  for (const kind of ['freezer', 'cooler', 'dock'] as const) {
    const id = await addDoorTypeFromLibrary(db, context, kind);
    for (const { door, kind: part, ...rating } of makersRatings.parts) {
      if (door !== kind) continue;
      const data = { ...rating, b10Cycles: BigInt(rating.b10Cycles), b10Months: null, ratingSource: makersRatings.source };
      await db.position.updateMany({ where: { doorTypeId: id, kind: part }, data });
    }
    for (const { kind: part, planned, failure } of costs.parts) {
      const data = { plannedCost: BigInt(planned), failureCost: BigInt(failure), costCurrency: costs.currency };
      await db.position.updateMany({ where: { doorTypeId: id, kind: part }, data });
    }
    for (const { kind: part, b10dCycles } of safetyLives) {
      await db.position.updateMany({ where: { doorTypeId: id, kind: part }, data: { b10dCycles: BigInt(b10dCycles) } });
    }
    await db.position.updateMany({ where: { doorTypeId: id, kind: 'drive-chain' }, data: handbook.chain });
    await db.position.updateMany({ where: { doorTypeId: id, kind: 'roller-bearings' }, data: handbook.bearing });
    const type = await db.doorType.findFirstOrThrow({
      where: { id },
      include: { positions: { orderBy: { ordinal: 'asc' } }, plans: { include: { tasks: { orderBy: { name: 'asc' } } } } },
    });
    types.push({
      id,
      kind,
      widthMm: type.widthMm,
      heightMm: type.heightMm,
      positions: type.positions.map((position) => ({
        id: position.id,
        kind: position.kind as PartKind,
        b10Cycles: position.b10Cycles === null ? null : Number(position.b10Cycles),
        b10Months: position.b10Months,
        lifeShape: Number(position.lifeShape),
      })),
      tasks: type.plans.flatMap((plan) => plan.tasks).map((task) => ({
        id: task.id,
        safety: task.safety,
        intervalCycles: task.intervalCycles === null ? null : Number(task.intervalCycles),
        intervalMonths: task.intervalMonths,
      })),
    });
  }
  return types;
}
