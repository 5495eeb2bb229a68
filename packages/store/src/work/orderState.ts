import { standingAnswers, type GivenAnswer, type StepValue, type WorkOrder, type WorkState, type WorkStep } from '@lintel/engine';
import type pg from 'pg';

/** An answer with its times: the server's, which is its order, and the device's. */
export interface TakenAnswer extends GivenAnswer {
  atMs: number;
  deviceMs: number | undefined;
}

/** A door as far as work concerns it; held locked to the end of the transaction. */
export interface DoorState {
  id: string;
  typeId: string;
  /** Of its site. */
  timeZone: string;
  name: string;
  state: string;
  stateReason: string | null;
  /** Unsafe findings that are open on it, from whatever order: as the database has them, whatever a device believes. */
  openUnsafe: string[];
  changed: boolean;
}

/** A work order as the engine knows it, with what its owner adds; held locked to the end of the transaction. */
export interface OrderState {
  id: string;
  number: number;
  origin: string;
  doorId: string;
  taskId: string | null;
  title: string;
  parts: string[];
  technicianId: string | null;
  formerIds: string[];
  releasedMs: number | null;
  startedMs: number | null;
  version: number;
  order: WorkOrder;
  answers: TakenAnswer[];
  door: DoorState;
  /** Columns to be written at the end. */
  changes: Record<string, unknown>;
  changed: boolean;
}

interface OrderRow {
  id: string;
  number: number;
  origin: string;
  kind: WorkOrder['kind'];
  state: WorkState;
  door_id: string;
  task_id: string | null;
  title: string;
  parts: string[];
  technician_id: string | null;
  former_ids: string[];
  steps: WorkStep[];
  devices: string[];
  passed: boolean | null;
  cancel_reason: string | null;
  released_at: Date | null;
  started_at: Date | null;
  version: number;
}

/**
 * Loads orders with all that their rules look at, and locks them and their doors: orders first, each kind in the order of its ids,
 * so that two batches wait for each other and do not lock up. Ids that are none of the company's are left out.
 */
export async function lockOrders(client: pg.ClientBase, companyId: string, ids: readonly string[]): Promise<Map<string, OrderState>> {
  const { rows } = await client.query<OrderRow>(
    `SELECT id, number, origin::text, kind::text, state::text, door_id, task_id, title, parts, technician_id, former_ids, steps, devices,
       passed, cancel_reason, released_at, started_at, version
     FROM work_order WHERE company_id = $1::uuid AND id = ANY ($2::uuid[]) ORDER BY id FOR NO KEY UPDATE`,
    [companyId, ids],
  );
  const doors = await lockDoors(client, companyId, rows.map((row) => row.door_id));
  const found = rows.map(({ id }) => id);
  const answers = await loadAnswers(client, companyId, found);
  const { findings, retests } = await loadFindings(client, companyId, found);
  return new Map(rows.map((row) => {
    const state = stateOf(row, doors.get(row.door_id)!, answers.get(row.id) ?? []);
    state.order = { ...state.order, findings: findings.get(row.id) ?? [], retests: retests.get(row.id) ?? [] };
    return [row.id, state];
  }));
}

function stateOf(row: OrderRow, door: DoorState, answers: TakenAnswer[]): OrderState {
  const { id, number, origin, kind, state, title, parts, steps, devices, passed, version } = row;
  return {
    id, number, origin, title, parts, version, door, answers,
    doorId: row.door_id,
    taskId: row.task_id,
    technicianId: row.technician_id,
    formerIds: row.former_ids,
    releasedMs: row.released_at?.getTime() ?? null,
    startedMs: row.started_at?.getTime() ?? null,
    order: {
      kind, state, steps, devices, findings: [], retests: [], ...standingAnswers(answers),
      ...(passed !== null && { passed }), ...(row.cancel_reason !== null && { cancelReason: row.cancel_reason }),
    },
    changes: {},
    changed: false,
  };
}

/** Locks doors against other work on them; read under that lock, what is open on them stays so. */
export async function lockDoors(client: pg.ClientBase, companyId: string, ids: readonly string[]): Promise<Map<string, DoorState>> {
  const { rows } = await client.query<{ id: string; door_type_id: string; time_zone: string; name: string; state: string; state_reason: string | null }>(
    `SELECT id, door_type_id, name, state::text, state_reason,
       (SELECT s.time_zone FROM site s WHERE s.company_id = door.company_id AND s.id = door.site_id) AS time_zone FROM door
     WHERE company_id = $1::uuid AND id = ANY ($2::uuid[]) ORDER BY id FOR NO KEY UPDATE`,
    [companyId, [...new Set(ids)]],
  );
  const doors = new Map(rows.map((row) => [row.id, {
    id: row.id, typeId: row.door_type_id, timeZone: row.time_zone, name: row.name, state: row.state, stateReason: row.state_reason, openUnsafe: [] as string[], changed: false,
  }]));
  const open = await client.query<{ id: string; door_id: string }>(
    `SELECT id, door_id FROM finding WHERE company_id = $1::uuid AND door_id = ANY ($2::uuid[]) AND severity = 'unsafe' AND cleared_at IS NULL
     ORDER BY found_at, id`,
    [companyId, [...doors.keys()]],
  );
  for (const { id, door_id: doorId } of open.rows) doors.get(doorId)!.openUnsafe.push(id);
  return doors;
}

async function loadAnswers(client: pg.ClientBase, companyId: string, orderIds: readonly string[]): Promise<Map<string, TakenAnswer[]>> {
  const { rows } = await client.query<{
    id: string; work_order_id: string; step: string; value: StepValue; settles_id: string | null; counts: boolean; account_id: string; at: Date; device_at: Date | null;
  }>(
    `SELECT id, work_order_id, step, value, settles_id, counts, account_id, at, device_at FROM work_answer
     WHERE company_id = $1::uuid AND work_order_id = ANY ($2::uuid[]) ORDER BY place`,
    [companyId, orderIds],
  );
  return grouped(rows, (row) => row.work_order_id, (row) => ({
    id: row.id, stepId: row.step, value: row.value, accountId: row.account_id, counts: row.counts, settlesId: row.settles_id,
    atMs: row.at.getTime(), deviceMs: row.device_at?.getTime(),
  }));
}

async function loadFindings(client: pg.ClientBase, companyId: string, orderIds: readonly string[]) {
  const found = await client.query<{ id: string; work_order_id: string; severity: 'note' | 'defect' | 'unsafe'; text: string; step: string | null }>(
    `SELECT id, work_order_id, severity::text, text, step FROM finding
     WHERE company_id = $1::uuid AND work_order_id = ANY ($2::uuid[]) ORDER BY found_at, id`,
    [companyId, orderIds],
  );
  const tested = await client.query<{ work_order_id: string; finding_id: string }>(
    'SELECT work_order_id, finding_id FROM work_retest WHERE company_id = $1::uuid AND work_order_id = ANY ($2::uuid[]) ORDER BY finding_id',
    [companyId, orderIds],
  );
  return {
    findings: grouped(found.rows, (row) => row.work_order_id, ({ id, severity, text, step }) => ({ id, severity, text, ...(step !== null && { stepId: step }) })),
    retests: grouped(tested.rows, (row) => row.work_order_id, (row) => row.finding_id),
  };
}

function grouped<Row, Item>(rows: readonly Row[], keyOf: (row: Row) => string, itemOf: (row: Row) => Item): Map<string, Item[]> {
  const groups = new Map<string, Item[]>();
  for (const row of rows) {
    const group = groups.get(keyOf(row));
    if (group === undefined) groups.set(keyOf(row), [itemOf(row)]);
    else group.push(itemOf(row));
  }
  return groups;
}
