import {
  checkStep, civilDateAt, defaultForceLimits, releaseSteps, type ChecklistItem, type ForceGauge, type ReleasePosition, type StepAnswer, type StepValue,
  type WorkStep,
} from '@lintel/engine';
import { newId, type CompanyContext, type CompanyDb } from '../context.js';
import { issueCertificate } from '../safety/issueCertificate.js';
import { keySecret, KeySecretError } from '../safety/keySecret.js';
import { runSql } from '../sqlRunner.js';
import { demoAnswer, type DemoAnswering } from './demoAnswer.js';
import type { Dice } from './dice.js';

/** Inspections that are kept whole, as work orders with their certificates; those of before stand as completions alone. */
const MOST_INSPECTIONS = 160;
/** So many of those with a force test have recorded curves; the others the figures that a gauge shows. */
const WITH_CURVES = 4;

interface DoneInspection {
  completionId: string;
  doorId: string;
  taskId: string;
  doorTypeId: string;
  taskName: string;
  checklist: ChecklistItem[];
  minutes: number;
  widthMm: number;
  heightMm: number;
  timeZone: string;
  doneAt: Date;
  passed: boolean;
  note: string | null;
}

interface Gauge extends ForceGauge {
  id: string;
  calibratedOn: string;
  dueOn: string;
}

/** The last inspection of each door, and of some doors the one before, as completed work orders with answers and certificates. */
export async function addDemoInspections(db: CompanyDb, context: CompanyContext, dice: Dice, people: ReadonlyMap<string, string>): Promise<void> {
  const { companyId } = context;
  const ask = <Row>(sql: string): Promise<Row[]> => runSql<Row>(db, sql, [companyId]);
  const done = (await ask<DoneInspection>(DONE)).reverse();
  const positions = await ask<ReleasePosition & { typeId: string }>(POSITIONS);
  const gauges = await ask<Gauge>(GAUGES);
  const accountId = people.get('technician')!;
  const recorded = new Set(done.filter(({ checklist }) => checklist.some(({ kind }) => kind === 'force-test')).slice(-WITH_CURVES));
  const orders = done.map((inspection, index) => {
    const { doorTypeId, checklist, widthMm, heightMm } = inspection;
    const { steps, devices } = releaseSteps({
      kind: 'inspection', checklist, opening: { widthMm, heightMm }, positions: positions.filter(({ typeId }) => typeId === doorTypeId), limits: defaultForceLimits,
    });
    const values = answersTo(steps, inspection, { dice, gauges, curves: recorded.has(inspection) });
    return { id: newId(), number: index + 1, inspection, steps, devices, values };
  });
  await db.workOrder.createMany({ data: orders.map((order) => orderRow(order, context, people)) });
  await db.workAnswer.createMany({
    data: orders.flatMap(({ id, inspection: { doneAt }, values }) => [...values].map(([step, value]) => ({
      companyId, id: newId(), workOrderId: id, step, value: value as object, counts: true, accountId, at: doneAt,
    }))),
  });
  await db.finding.createMany({
    data: orders.filter(({ inspection }) => !inspection.passed).map(({ id, inspection: { doorId, doneAt, note } }) => ({
      companyId, id: newId(), doorId, workOrderId: id, severity: 'defect' as const, text: note ?? 'Not passed', foundAt: doneAt, accountId,
    })),
  });
  await runSql(
    db, 'INSERT INTO work_counter (company_id, next_number, change_no) VALUES ($1::uuid, $2::int, 1) RETURNING 1', [companyId, orders.length + 1],
  );
  if (!canSign()) return;
  const asTechnician = { ...context, accountId };
  for (const { id, inspection: { doneAt } } of orders) await issueCertificate(db, asTechnician, id, doneAt);
}

/** A demo without a secret to sign under is one without certificates. */
function canSign(): boolean {
  try {
    return keySecret() !== '';
  } catch (error) {
    if (error instanceof KeySecretError) return false;
    throw error;
  }
}

interface DemoOrder {
  id: string;
  number: number;
  inspection: DoneInspection;
  steps: WorkStep[];
  devices: string[];
}

function orderRow({ id, number, inspection, steps, devices }: DemoOrder, { companyId }: CompanyContext, people: ReadonlyMap<string, string>) {
  const { doorId, taskId, taskName, minutes, doneAt, passed, completionId } = inspection;
  const before = (hours: number): Date => new Date(doneAt.getTime() - hours * 3_600_000);
  return {
    companyId, id, number, kind: 'inspection' as const, state: 'reviewed' as const, origin: 'due' as const, doorId, taskId, title: taskName, minutes,
    skills: [], parts: [], steps: steps as object[], devices, passed, completionId, changeNo: 1n, technicianId: people.get('technician')!,
    createdById: people.get('planner')!, createdAt: before(300), releasedAt: before(200), startedAt: before(minutes / 60), completedAt: doneAt,
    completedById: people.get('technician')!, reviewedById: people.get('planner')!, reviewedAt: new Date(doneAt.getTime() + 3_600_000),
  };
}

interface Answering {
  dice: Dice;
  gauges: readonly Gauge[];
  curves: boolean;
}

/** What the records of those days do not hold. */
const notKept: ReadonlySet<WorkStep['kind']> = new Set<WorkStep['kind']>(['photograph', 'read-counter', 'fit-part']);

/** What was entered at each step; of one that was not passed, the first device test failed. */
function answersTo(steps: readonly WorkStep[], inspection: DoneInspection, { gauges, ...answering }: Answering): Map<string, StepValue> {
  const values = new Map<string, StepValue>();
  const given = { ...answering, counter: 0, ...gaugeOn(inspection, gauges) };
  const failing = inspection.passed ? undefined : steps.find(({ kind }) => kind === 'test-device');
  for (const step of steps) {
    if (notKept.has(step.kind)) continue;
    const answer: StepAnswer = step === failing ? { kind: 'test-device', passed: false, remark: inspection.note ?? 'Not passed' } : demoAnswer(step, given);
    const value = checkStep(step, answer);
    if (!('refused' in value)) values.set(step.id, value);
  }
  return values;
}

/** One whose calibration held on the day; where none of today's did, one that is kept no more. */
function gaugeOn({ doneAt, timeZone }: DoneInspection, gauges: readonly Gauge[]): Pick<DemoAnswering, 'usedOn' | 'gauge' | 'instrumentId'> {
  const usedOn = civilDateAt(doneAt.getTime(), timeZone);
  const own = gauges.find(({ calibratedOn, dueOn }) => calibratedOn <= usedOn && usedOn <= dueOn);
  const { id, dueOn: _dueOn, ...gauge } = own ?? { ...gauges[0]!, id: null, calibratedOn: civilDateAt(doneAt.getTime() - 90 * 86_400_000, timeZone) };
  return { usedOn, gauge, instrumentId: id };
}

const DONE = `
  SELECT * FROM (
    SELECT c.id::text AS "completionId", c.door_id::text AS "doorId", c.task_id::text AS "taskId", d.door_type_id::text AS "doorTypeId", t.name AS "taskName",
      t.checklist, t.minutes, d.width_mm AS "widthMm", d.height_mm AS "heightMm", s.time_zone AS "timeZone", c.done_at AS "doneAt", c.passed, c.note,
      row_number() OVER (PARTITION BY c.door_id ORDER BY c.done_at DESC) AS place, d.name AS "doorName"
    FROM completion c
    JOIN task t ON t.company_id = c.company_id AND t.id = c.task_id
    JOIN door d ON d.company_id = c.company_id AND d.id = c.door_id
    JOIN site s ON s.company_id = d.company_id AND s.id = d.site_id
    WHERE c.company_id = $1::uuid AND t.safety) done
  WHERE place = 1 OR (place = 2 AND "doorName" LIKE '%1')
  ORDER BY "doneAt" DESC, "doorId" LIMIT ${MOST_INSPECTIONS}`;

const POSITIONS = `
  SELECT id::text AS id, door_type_id::text AS "typeId", kind, name, safety_device AS "safetyDevice" FROM "position"
  WHERE company_id = $1::uuid ORDER BY door_type_id, ordinal, id`;

const GAUGES = `
  SELECT i.id::text AS id, i.sampling_hertz AS "samplingHertz", i.accuracy_percent AS "accuracyPercent", i.range_from_newton AS "rangeFromNewton",
    i.range_to_newton AS "rangeToNewton", i.spring_newton_per_mm AS "springNewtonPerMm", i.disc_mm AS "discMm", c.calibrated_on::text AS "calibratedOn",
    c.due_on::text AS "dueOn"
  FROM instrument i JOIN calibration c ON c.company_id = i.company_id AND c.instrument_id = i.id
  WHERE i.company_id = $1::uuid AND i.kind = 'force_gauge' ORDER BY i.name`;
