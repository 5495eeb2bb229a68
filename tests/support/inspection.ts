import type { StepAnswer, WorkStep } from '@lintel/engine';
import { createOrders, newId, releaseOrders, workAtDesk, type CompanyContext, type Store } from '@lintel/store';
import type { TechnicianCommand } from '@lintel/contract';
import { inventedCurve, inventedReadings } from './certificateFacts.js';
import { passing } from './work.js';

export interface InspectionOptions {
  store: Store;
  context: CompanyContext;
  accountId: string;
  doorId: string;
  /** Left out: an inspection without a task. */
  taskId?: string;
  kind?: 'inspection' | 'commissioning';
  /** Fails the first device test, and with it the order. */
  failing?: boolean;
  instrumentId?: string;
}

const today = new Date().toISOString().slice(0, 10);
const gauge = { samplingHertz: 500, accuracyPercent: 2, rangeFromNewton: 10, rangeToNewton: 2500, springNewtonPerMm: 500, discMm: 80, calibratedOn: today };

/** An inspection of a door, ordered, released, done and completed through the store. @returns the order's id. */
export async function completeInspection(options: InspectionOptions): Promise<string> {
  const { store, context, accountId, doorId, taskId, kind = 'inspection', failing = false } = options;
  const [made] = await createOrders(store, context, [taskId === undefined ? { doorId, kind, title: 'Safety inspection' } : { doorId, taskId }]);
  if (made === undefined || 'refused' in made) throw new Error(JSON.stringify(made));
  const [released] = await releaseOrders(store, context, [made.id]);
  if (released === undefined || 'refused' in released) throw new Error(JSON.stringify(released));
  const order = await store.withCompany(context, (db) => db.workOrder.findFirstOrThrow({ where: { id: made.id } }));
  const steps = order.steps as unknown as WorkStep[];
  const failed = failing ? steps.find((step) => step.kind === 'test-device')?.id : undefined;
  const give = async (command: TechnicianCommand): Promise<void> => {
    const result = await workAtDesk(store, { context: { ...context, accountId }, accountId, planner: true }, made.id, null, command);
    if ('refused' in result) throw new Error(`${JSON.stringify(command).slice(0, 200)}: ${JSON.stringify(result)}`);
  };
  await give({ command: 'start' });
  for (const step of steps) {
    const answer = answerOf(step, step.id === failed, options.instrumentId);
    await give({ command: 'answer', stepId: step.id, answer } as TechnicianCommand);
  }
  if (failed !== undefined) {
    await give({ command: 'report', finding: { id: newId(), severity: 'unsafe', text: 'Does not stop', stepId: failed } });
  }
  await give({ command: 'complete', passed: !failing });
  return made.id;
}

/** As in any test of work, but with a failure where one is wanted, and with recorded curves. */
function answerOf(step: WorkStep, fails: boolean, instrumentId?: string): StepAnswer {
  if (fails) return { kind: 'test-device', passed: false, remark: 'Does not stop' };
  const passed = passing(step, today);
  if (passed.kind !== 'force-test') return passed;
  const model = inventedReadings(260).slice(0, 3).map((reading) => ({ ...reading, curve: inventedCurve(260).filter((_, index) => index % 2 === 0) }));
  const readings = passed.readings.map(({ heightMm, across }, index) => ({ ...model[index % 3]!, heightMm, across }));
  return { ...passed, readings, gauge, ...(instrumentId !== undefined && { instrumentId }) };
}
