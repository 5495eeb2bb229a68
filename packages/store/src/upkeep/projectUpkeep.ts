import { civilDateAt, cyclesAtInstant, nextDue } from '@lintel/engine';
import type { DueItem, TaskBasis } from '@lintel/engine';
import type pg from 'pg';
import { addTo, arrayLiteral, RowBatch } from '../duty/projectRows.js';
import type { DoorDutyState, LoadedCompletion, LoadedDoor, LoadedTask } from '../duty/projectTypes.js';

export interface DueRow extends DueItem {
  doorId: string;
  taskId: string;
  safety: boolean;
}

/** The due items of a door; a task that has no date has none. */
export function dueItemsOf(door: LoadedDoor, state: DoorDutyState, now: Date): DueRow[] {
  const today = civilDateAt(now.getTime(), door.timeZone);
  const rows: DueRow[] = [];
  for (const task of door.tasks) {
    const item = nextDue(task, basisOf(door, state, door.completions.get(task.id)), {
      timeZone: door.timeZone,
      today,
      regimeMonths: door.regimeMonths,
      duty: state.duty,
    });
    if (!('none' in item)) rows.push({ ...item, doorId: door.id, taskId: task.id, safety: task.safety });
  }
  return rows;
}

/** A door counts its lifetime cycles from its first day: coming into service is at 0. */
function basisOf(door: LoadedDoor, state: DoorDutyState, done: LoadedCompletion | undefined): TaskBasis {
  if (done === undefined) return { kind: 'in-service', on: door.installedOn, lifetimeCycles: 0 };
  return {
    kind: 'completion',
    on: civilDateAt(done.doneAt, door.timeZone),
    lifetimeCycles: done.lifetimeCycles ?? Math.round(cyclesAtInstant(state.history, state.duty, state.firstDayMs, done.doneAt)),
  };
}

/** The tasks of all plans in force, by door type. */
export async function loadTasks(client: pg.ClientBase, companyId: string): Promise<Map<string, LoadedTask[]>> {
  const { rows } = await client.query(
    `SELECT p.door_type_id AS "doorTypeId", t.id, t.safety, t.interval_cycles::float8 AS "intervalCycles",
       t.interval_months AS "intervalMonths", t.anchor::text AS anchor, t.fixed_from::text AS "fixedFrom",
       t.early_days AS "earlyDays", t.grace_days AS "graceDays"
     FROM task t JOIN plan p ON p.company_id = t.company_id AND p.id = t.plan_id
     WHERE t.company_id = $1::uuid AND t.archived_at IS NULL AND p.archived_at IS NULL ORDER BY t.id`,
    [companyId],
  );
  const byType = new Map<string, LoadedTask[]>();
  for (const { doorTypeId, ...task } of rows) addTo(byType, doorTypeId, task);
  return byType;
}

/** The last completion of each task on some doors, by door and task. Only what was passed counts as done. */
export async function loadCompletions(
  client: pg.ClientBase,
  companyId: string,
  doorIds: readonly string[],
  now: Date,
): Promise<Map<string, Map<string, LoadedCompletion>>> {
  const { rows } = await client.query(
    `SELECT DISTINCT ON (door_id, task_id) door_id AS "doorId", task_id AS "taskId", date_part('epoch', done_at) * 1000 AS "doneAt",
       lifetime_cycles::float8 AS "lifetimeCycles"
     FROM completion WHERE company_id = $1::uuid AND door_id = ANY ($2::uuid[]) AND passed AND done_at <= $3
     ORDER BY door_id, task_id, done_at DESC`,
    [companyId, arrayLiteral(doorIds), now],
  );
  const byDoor = new Map<string, Map<string, LoadedCompletion>>();
  for (const { doorId, taskId, ...completion } of rows) {
    const known = byDoor.get(doorId);
    if (known === undefined) byDoor.set(doorId, new Map([[taskId, completion]]));
    else known.set(taskId, completion);
  }
  return byDoor;
}

/** What is kept of due items. */
export const dueBatch = (): RowBatch =>
  new RowBatch('due_item', ['door_id', 'task_id'], {
    door_id: 'uuid',
    task_id: 'uuid',
    safety: 'boolean',
    earliest_on: 'date',
    due_on: 'date',
    latest_on: 'date',
    why: 'jsonb',
    projected_at: 'timestamptz',
  });

export function addDueItem(batch: RowBatch, row: DueRow, projectedAt: string): void {
  batch.add(row.doorId, row.taskId, row.safety, row.earliest, row.due, row.latest, JSON.stringify(row.why), projectedAt);
}
