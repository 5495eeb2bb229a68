import type { WorkOrderCreate } from '@lintel/contract';
import type pg from 'pg';
import { newId, type CompanyContext, type Store } from '../context.js';
import { lockDoors, type DoorState } from './orderState.js';
import type { Refused } from './technicianCommand.js';
import { correctiveOrder, plannedColumns, WorkBooks, type NewOrder } from './workBooks.js';

export interface Made {
  id: string;
}

interface TaskRow {
  id: string;
  name: string;
  safety: boolean;
  minutes: number;
  skills: string[];
  parts: string[];
  doorTypeId: string;
}

interface FindingRow {
  id: string;
  doorId: string;
  severity: string;
  text: string;
  partKind: string | null;
  clearedAt: Date | null;
  /** State and result of the order that is to put it right already. */
  correctiveState: string | null;
  correctivePassed: boolean | null;
}

interface Known {
  doors: Map<string, DoorState>;
  tasks: Map<string, TaskRow>;
  findings: Map<string, FindingRow>;
  /** Tasks on doors that an open order is to do: `<door>:<task>`. */
  ordered: Set<string>;
  /** Accounts that can be sent. */
  technicians: Set<string>;
}

/**
 * Makes orders: from due items, from findings, or by hand; each by itself, so that one that cannot be made does not stop the others.
 * A safety task becomes an inspection, any other preventive work, a finding corrective work that tests again what was unsafe.
 */
export function createOrders(store: Store, context: CompanyContext, given: readonly WorkOrderCreate[]): Promise<(Made | Refused)[]> {
  return store.withCompanySql(context, (client) => createOrdersIn(client, context, given));
}

/** The same in the caller's transaction. */
export async function createOrdersIn(
  client: pg.ClientBase, context: CompanyContext, given: readonly WorkOrderCreate[], now = new Date(),
): Promise<(Made | Refused)[]> {
  const known = await loadKnown(client, context.companyId, given);
  const books = new WorkBooks(client, context, now);
  const results = given.map((one) => {
    const order = madeFrom(one, known, { createdById: context.accountId, createdAt: books.now });
    if ('refused' in order) return order;
    books.newOrders.push(order);
    const { door_id: doorId, task_id: taskId } = order.columns;
    if (taskId !== null) known.ordered.add(`${String(doorId)}:${String(taskId)}`);
    books.note('work-order-created', 'work-order', order.id, { doorId, taskId, origin: order.columns['origin'], title: order.columns['title'] });
    return { id: order.id };
  });
  await books.write();
  return results;
}

const refused = (code: string, facts: Record<string, unknown> = {}): Refused => ({ refused: code, facts });
type Maker = { createdById: string | null; createdAt: Date };

function madeFrom(given: WorkOrderCreate, known: Known, made: Maker): NewOrder | Refused {
  if (given.technicianId != null && !known.technicians.has(given.technicianId)) return refused('no-such-technician', { field: 'technicianId' });
  return given.findingId === undefined ? onDoor(given, known, made) : fromFinding(given, given.findingId, known, made);
}

function fromFinding(given: WorkOrderCreate, findingId: string, { findings }: Known, made: Maker): NewOrder | Refused {
  const finding = findings.get(findingId);
  if (finding === undefined) return refused('no-such-finding', { field: 'findingId' });
  if (finding.clearedAt !== null) return refused('finding-cleared', { field: 'findingId' });
  const { correctiveState: state } = finding;
  const over = state === null || state === 'cancelled' || ((state === 'completed' || state === 'reviewed') && finding.correctivePassed !== true);
  if (!over) return refused('finding-has-order', { field: 'findingId' });
  const order = correctiveOrder(finding, made);
  return { ...order, columns: { ...order.columns, ...described(given) } };
}

function onDoor(given: WorkOrderCreate, known: Known, made: Maker): NewOrder | Refused {
  const door = given.doorId === undefined ? undefined : known.doors.get(given.doorId);
  if (door === undefined) return refused('no-such-door', { field: 'doorId' });
  if (door.state === 'decommissioned') return refused('door-decommissioned', { field: 'doorId' });
  if (given.taskId === undefined) {
    if (given.kind === undefined) return refused('kind-needed', { field: 'kind' });
    if (given.title === undefined) return refused('title-needed', { field: 'title' });
    // By hand a further test of what is unsafe is meant as well: nothing else brings the door back.
    const retests = given.kind === 'preventive' ? [] : door.openUnsafe;
    const columns = plannedColumns({ ...made, kind: given.kind, origin: 'hand', doorId: door.id, title: given.title, minutes: given.minutes ?? 60 });
    return { id: newId(), columns: { ...columns, ...described(given) }, retests, puts: [] };
  }
  const task = known.tasks.get(given.taskId);
  if (task === undefined || task.doorTypeId !== door.typeId) return refused('no-such-task', { field: 'taskId' });
  if (known.ordered.has(`${door.id}:${task.id}`)) return refused('ordered-already', { field: 'taskId' });
  const columns = plannedColumns({
    ...made, kind: task.safety ? 'inspection' : 'preventive', origin: 'due', doorId: door.id, taskId: task.id, title: task.name,
    minutes: task.minutes, skills: task.skills, parts: task.parts,
  });
  // Without testing it again no inspection could be passed on a door that is unsafe.
  return { id: newId(), columns: { ...columns, ...described(given) }, retests: task.safety ? door.openUnsafe : [], puts: [] };
}

/** What the caller says of a new order himself. */
function described({ title, instructions, minutes, skills, parts, technicianId, plannedOn, plannedStart }: WorkOrderCreate): Record<string, unknown> {
  const said = { title, instructions, minutes, skills, parts, technician_id: technicianId, planned_on: plannedOn, planned_start: plannedStart };
  return Object.fromEntries(Object.entries(said).filter(([, value]) => value !== undefined));
}

async function loadKnown(client: pg.ClientBase, companyId: string, given: readonly WorkOrderCreate[]): Promise<Known> {
  const ids = (field: 'doorId' | 'taskId' | 'findingId' | 'technicianId'): string[] => [...new Set(given.flatMap((one) => one[field] ?? []))];
  const findings = await client.query<FindingRow>(
    `SELECT f.id, f.door_id AS "doorId", f.severity::text, f.text, p.kind AS "partKind", f.cleared_at AS "clearedAt",
       o.state::text AS "correctiveState", o.passed AS "correctivePassed"
     FROM finding f LEFT JOIN position p ON p.company_id = f.company_id AND p.id = f.position_id
     LEFT JOIN work_order o ON o.company_id = f.company_id AND o.id = f.corrective_id
     WHERE f.company_id = $1::uuid AND f.id = ANY ($2::uuid[]) ORDER BY f.id FOR NO KEY UPDATE OF f`,
    [companyId, ids('findingId')],
  );
  const doors = await lockDoors(client, companyId, ids('doorId'));
  const tasks = await client.query<TaskRow>(
    `SELECT t.id, t.name, t.safety, t.minutes, t.skills, t.parts, p.door_type_id AS "doorTypeId"
     FROM task t JOIN plan p ON p.company_id = t.company_id AND p.id = t.plan_id WHERE t.company_id = $1::uuid AND t.id = ANY ($2::uuid[])`,
    [companyId, ids('taskId')],
  );
  const ordered = await client.query<{ key: string }>(
    `SELECT door_id || ':' || task_id AS key FROM work_order
     WHERE company_id = $1::uuid AND door_id = ANY ($2::uuid[]) AND task_id IS NOT NULL AND state IN ('planned', 'released', 'started')`,
    [companyId, ids('doorId')],
  );
  return {
    doors,
    tasks: new Map(tasks.rows.map((row) => [row.id, row])),
    findings: new Map(findings.rows.map((row) => [row.id, row])),
    ordered: new Set(ordered.rows.map(({ key }) => key)),
    technicians: await loadTechnicians(client, companyId, ids('technicianId')),
  };
}

/** Of some accounts those that can be sent to a door: active, and of the company's own staff. */
export async function loadTechnicians(client: pg.ClientBase, companyId: string, ids: readonly string[]): Promise<Set<string>> {
  const { rows } = await client.query<{ id: string }>(
    `SELECT id FROM account WHERE company_id = $1::uuid AND id = ANY ($2::uuid[]) AND active AND role <> 'owner'`, [companyId, ids]);
  return new Set(rows.map(({ id }) => id));
}
