import { randomUUID } from 'node:crypto';
import type { TechnicianCommand } from '@lintel/contract';
import type { StepAnswer, WorkStep } from '@lintel/engine';
import type pg from 'pg';
import type { CompanyContext, Store } from '../context.js';
import { enqueue } from '../jobs/enqueue.js';
import { forceGauges } from '../safety/forceGauges.js';
import { createOrdersIn } from '../work/createOrders.js';
import { cancelOrderIn, reviewOrderIn } from '../work/deskWork.js';
import { doCommandsIn } from '../work/deviceCommands.js';
import { releaseOrdersIn } from '../work/releaseOrders.js';
import { demoAnswer, type DemoAnswering } from './demoAnswer.js';
import type { Dice } from './dice.js';

const DAY_MS = 86_400_000;
const MINUTE_MS = 60_000;

/** What became of the demo's orders, in the order in which due work is given to them. */
const fates = [
  ...Array<Fate>(1).fill('unsafe'), ...Array<Fate>(1).fill('defect'), ...Array<Fate>(8).fill('reviewed'), ...Array<Fate>(8).fill('completed'),
  ...Array<Fate>(3).fill('started'), ...Array<Fate>(16).fill('released'), ...Array<Fate>(12).fill('planned'), ...Array<Fate>(3).fill('cancelled'),
];
type Fate = 'unsafe' | 'defect' | 'reviewed' | 'completed' | 'started' | 'released' | 'planned' | 'cancelled';
const done: ReadonlySet<Fate> = new Set<Fate>(['unsafe', 'defect', 'reviewed', 'completed']);

interface Due {
  doorId: string;
  taskId: string;
  safety: boolean;
  /** Days from now. */
  inDays: number;
}

interface Job extends Due {
  fate: Fate;
  orderId: string;
  technicianId: string;
  atMs: number;
  /** The company's gauge that is used; null: it keeps none. */
  gaugeId: string | null;
}

export interface WorkSetting {
  companyId: string;
  dice: Dice;
  nowMs: number;
}

/**
 * Gives the demo its work: orders for what falls due, in every state, worked through by the same rules as real ones, so that readings,
 * completions, findings, the unsafe door and its corrective order follow from them. One transaction; a demo that has orders under
 * way already keeps them.
 * @returns how many orders, and what of other things came with them.
 */
export function seedWork(store: Store, { companyId, dice, nowMs }: WorkSetting): Promise<{ orders: number; readings: number; completions: number }> {
  const nobody: CompanyContext = { companyId, accountId: null, actor: 'seed', ownerId: null };
  return store.withCompanySql(nobody, async (client) => {
    const before = await counts(client, companyId);
    if (before.underWay > 0) return { orders: 0, readings: 0, completions: 0 };
    const { technicians, planner } = await people(client, companyId);
    if (planner === undefined || technicians.length === 0) return { orders: 0, readings: 0, completions: 0 };
    const context = { ...nobody, accountId: planner };
    const jobs = plannedJobs(await dueWork(client, companyId, nowMs), technicians, dice, nowMs);
    const [gauge] = await forceGauges(client);
    for (const job of jobs) job.gaugeId = gauge?.id ?? null;
    await makeOrders(client, context, jobs, nowMs);
    for (const job of jobs) await workOn(client, context, job, dice);
    for (const job of jobs) await close(client, context, job, nowMs);
    await planRetest(client, context, technicians[0]!, nowMs);
    // The whole company is projected: its doors need no requests of their own.
    await client.query(`DELETE FROM outbox WHERE company_id = $1::uuid AND job = 'project-door' AND handed_at IS NULL`, [companyId]);
    await enqueue(client, context, 'project-company', {});
    const after = await counts(client, companyId);
    return { orders: after.orders - before.orders, readings: after.readings - before.readings, completions: after.completions - before.completions };
  });
}

async function counts(client: pg.ClientBase, companyId: string) {
  const { rows } = await client.query<{ orders: number; underWay: number; readings: number; completions: number }>(
    `SELECT (SELECT count(*)::int FROM work_order WHERE company_id = $1::uuid) AS orders,
       (SELECT count(*)::int FROM work_order WHERE company_id = $1::uuid AND state <> 'reviewed') AS "underWay", (SELECT count(*)::int FROM reading WHERE company_id = $1::uuid) AS readings,
       (SELECT count(*)::int FROM completion WHERE company_id = $1::uuid) AS completions`, [companyId]);
  return rows[0]!;
}

async function people(client: pg.ClientBase, companyId: string): Promise<{ technicians: string[]; planner: string | undefined }> {
  const { rows } = await client.query<{ id: string; role: string }>(
    `SELECT id, role::text FROM account WHERE company_id = $1::uuid AND active ORDER BY email = 'technician@demo.example' DESC, email`, [companyId]);
  const ofRole = (role: string) => rows.filter((row) => row.role === role).map(({ id }) => id);
  return { technicians: ofRole('technician'), planner: ofRole('planner')[0] };
}

/** Of each door in service that can be read the work that falls due next, by its months and its last completion. */
async function dueWork(client: pg.ClientBase, companyId: string, nowMs: number): Promise<Due[]> {
  const { rows } = await client.query<Due>(
    `SELECT DISTINCT ON (d.id) d.id AS "doorId", t.id AS "taskId", t.safety, due.on - $2::date AS "inDays"
     FROM door d JOIN plan p ON p.company_id = d.company_id AND p.door_type_id = d.door_type_id JOIN task t ON t.company_id = p.company_id AND t.plan_id = p.id
     JOIN site s ON s.company_id = d.company_id AND s.id = d.site_id
     CROSS JOIN LATERAL (SELECT (max(c.done_at) + make_interval(months => least(t.interval_months, CASE WHEN t.safety THEN s.regime_months END)))::date AS on
       FROM completion c WHERE c.company_id = d.company_id AND c.door_id = d.id AND c.task_id = t.id AND c.passed) due
     WHERE d.company_id = $1::uuid AND d.state = 'in_service' AND due.on BETWEEN $2::date + 1 AND $2::date + 40
       AND EXISTS (SELECT FROM counter c JOIN reading r ON r.company_id = c.company_id AND r.counter_id = c.id
         WHERE c.company_id = d.company_id AND c.door_id = d.id AND c.removed_at IS NULL)
     ORDER BY d.id, t.safety DESC, due.on, t.id`,
    [companyId, new Date(nowMs).toISOString().slice(0, 10)],
  );
  return rows.sort((a, b) => a.inDays - b.inDays || (a.doorId < b.doorId ? -1 : 1));
}

/** A safety task for what only an inspection can find; the rest as it comes. */
function plannedJobs(due: readonly Due[], technicians: readonly string[], dice: Dice, nowMs: number): Job[] {
  const left = [...due];
  return fates.flatMap((fate, index): Job[] => {
    const at = fate === 'unsafe' || fate === 'defect' ? left.findIndex(({ safety }) => safety) : 0;
    const [taken] = at < 0 ? [] : left.splice(at, 1);
    if (taken === undefined) return [];
    // The technician whose sign-in the demo shows has the most; of what is only planned, half is nobody's yet.
    const technicianId = technicians[index % 2 === 0 ? 0 : index % technicians.length]!;
    const days = done.has(fate) ? -dice.whole(1, 9) : fate === 'started' ? 0 : fate === 'released' ? index % 7 : dice.whole(3, 14);
    const startMs = Math.floor(nowMs / DAY_MS) * DAY_MS + days * DAY_MS + dice.whole(6 * 60, 14 * 60) * MINUTE_MS;
    return [{ ...taken, fate, technicianId, orderId: '', gaugeId: null, atMs: fate === 'started' ? nowMs - 90 * MINUTE_MS : startMs }];
  });
}

async function makeOrders(client: pg.ClientBase, context: CompanyContext, jobs: readonly Job[], nowMs: number): Promise<void> {
  const made = await createOrdersIn(client, context, jobs.map(({ doorId, taskId, technicianId, fate, atMs }, index) => ({
    doorId, taskId, technicianId: fate === 'planned' && index % 2 === 0 ? null : technicianId, plannedOn: new Date(atMs).toISOString().slice(0, 10),
    plannedStart: fate === 'planned' ? null : new Date(atMs).toISOString(),
  })), new Date(nowMs - 21 * DAY_MS));
  for (const [index, one] of made.entries()) {
    if ('refused' in one) throw new Error(`demo order: ${one.refused}`);
    jobs[index]!.orderId = one.id;
  }
  const released = await releaseOrdersIn(client, context, jobs.filter(({ fate }) => fate !== 'planned').map(({ orderId }) => orderId), new Date(nowMs - 14 * DAY_MS));
  const refused = released.find((one) => 'refused' in one);
  if (refused !== undefined) throw new Error(`demo release: ${JSON.stringify(refused)}`);
}

/** What the technician did, as a device would have sent it. */
async function workOn(client: pg.ClientBase, context: CompanyContext, job: Job, dice: Dice): Promise<void> {
  if (!done.has(job.fate) && job.fate !== 'started') return;
  const { rows: [order] } = await client.query<{ steps: WorkStep[] }>('SELECT steps FROM work_order WHERE company_id = $1::uuid AND id = $2::uuid', [context.companyId, job.orderId]);
  const steps = order!.steps.filter((step) => !step.optional);
  const failing = job.fate === 'unsafe' || job.fate === 'defect' ? steps.find((step) => step.kind === 'test-device') : undefined;
  const answering = answeringOf(job, await countAt(client, context.companyId, job), dice);
  const answers = (job.fate === 'started' ? steps.slice(0, Math.ceil(steps.length / 2)) : steps).map((step): TechnicianCommand =>
    ({ command: 'answer', stepId: step.id, answer: (step === failing ? failed : demoAnswer(step, answering)) as never }));
  const commands: TechnicianCommand[] = [{ command: 'start' }, ...answers];
  if (failing !== undefined) {
    const severity = job.fate === 'unsafe' ? 'unsafe' : 'defect';
    commands.push({ command: 'report', finding: { id: randomUUID(), severity, stepId: failing.id, text: severity === 'unsafe' ? UNSAFE_TEXT : DEFECT_TEXT } });
  }
  const minutes = dice.whole(25, 80);
  if (job.fate !== 'started') {
    commands.push({ command: 'complete', passed: failing === undefined });
    commands.push({ command: 'record-time', kind: 'work', minutes, startedAt: new Date(job.atMs).toISOString() });
  }
  const sender = { context: { ...context, accountId: job.technicianId, actor: 'tablet' }, accountId: job.technicianId, planner: false };
  const given = commands.map((command, index) => ({
    id: randomUUID(), orderId: job.orderId, command, madeAt: new Date(job.atMs + Math.round((index * minutes * MINUTE_MS) / commands.length)).toISOString(),
  }));
  const outcomes = await doCommandsIn(client, sender, { device: 'Demo tablet', commands: given }, new Date(job.atMs + (minutes + 1) * MINUTE_MS));
  const refused = outcomes.find(({ outcome }) => outcome !== 'applied');
  if (refused !== undefined) throw new Error(`demo work: ${JSON.stringify(refused.refusal)}`);
}

const UNSAFE_TEXT = 'Safety device does not stop the closing door; panel secured open, opening fenced off';
const DEFECT_TEXT = 'Safety device answers late; cleaned, to be replaced';
const failed: StepAnswer = { kind: 'test-device', passed: false, remark: 'Tried three times, the same each time' };

function answeringOf({ atMs, gaugeId }: Job, counter: number, dice: Dice): DemoAnswering {
  const dayOf = (ms: number): string => new Date(ms).toISOString().slice(0, 10);
  const gauge = {
    samplingHertz: 1000, accuracyPercent: 2, rangeFromNewton: 10, rangeToNewton: 2500, springNewtonPerMm: 500, discMm: 80, calibratedOn: dayOf(atMs - 90 * DAY_MS),
  };
  return { dice, counter, usedOn: dayOf(atMs), gauge, instrumentId: gaugeId, curves: false };
}

/** What the counter shows then: between the readings around it, or a little above the last. */
async function countAt(client: pg.ClientBase, companyId: string, { doorId, atMs }: Job): Promise<number> {
  const { rows } = await client.query<{ before: number | null; after: number | null }>(
    `SELECT (SELECT r.value::float8 FROM reading r WHERE r.company_id = c.company_id AND r.door_id = c.door_id AND r.counter_id = c.id AND r.at <= $3 ORDER BY r.at DESC LIMIT 1) AS before,
       (SELECT r.value::float8 FROM reading r WHERE r.company_id = c.company_id AND r.door_id = c.door_id AND r.counter_id = c.id AND r.at > $3 ORDER BY r.at LIMIT 1) AS after
     FROM counter c WHERE c.company_id = $1::uuid AND c.door_id = $2::uuid AND c.removed_at IS NULL`, [companyId, doorId, new Date(atMs)]);
  const before = rows[0]?.before ?? 0;
  const after = rows[0]?.after ?? before;
  return Math.round(after > before ? (before + after) / 2 : before);
}

async function close(client: pg.ClientBase, context: CompanyContext, { fate, orderId, atMs }: Job, nowMs: number): Promise<void> {
  if (fate === 'reviewed') await reviewOrderIn(client, context, orderId, new Date(Math.min(nowMs, atMs + DAY_MS)));
  if (fate === 'cancelled') await cancelOrderIn(client, context, orderId, new Date(nowMs - 2 * DAY_MS), 'Site closed for stocktaking; to be planned anew');
}

/** The corrective order of the unsafe door is for today. */
async function planRetest(client: pg.ClientBase, context: CompanyContext, technicianId: string, nowMs: number): Promise<void> {
  const { rows } = await client.query<{ id: string }>(
    `SELECT corrective_id AS id FROM finding WHERE company_id = $1::uuid AND severity = 'unsafe' AND cleared_at IS NULL AND corrective_id IS NOT NULL`, [context.companyId]);
  const ids = rows.map(({ id }) => id);
  await client.query('UPDATE work_order SET technician_id = $3::uuid, planned_on = $4::date WHERE company_id = $1::uuid AND id = ANY ($2::uuid[])',
    [context.companyId, ids, technicianId, new Date(nowMs).toISOString().slice(0, 10)]);
  await releaseOrdersIn(client, context, ids, new Date(nowMs));
}
