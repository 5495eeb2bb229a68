import type { ChecklistStep } from '@lintel/contract';
import { applyWorkCommand, releaseSteps, type ForceLimitTable, type ReleasePosition } from '@lintel/engine';
import type pg from 'pg';
import type { CompanyContext, Store } from '../context.js';
import { forceLimitsInUse } from '../safety/forceLimitsInUse.js';
import { lockOrders, type OrderState } from './orderState.js';
import { take, type Refused } from './technicianCommand.js';
import { WorkBooks } from './workBooks.js';

interface DoorFacts {
  widthMm: number;
  heightMm: number;
  modulus: number | null;
}

/**
 * Releases orders: the task's checklist, made into steps for the very door, is copied into the order and stands from then on, whatever
 * becomes of the plan. Each by itself; in the order asked.
 */
export function releaseOrders(store: Store, context: CompanyContext, ids: readonly string[]): Promise<(Released | Refused)[]> {
  return store.withCompanySql(context, (client) => releaseOrdersIn(client, context, ids));
}

export interface Released {
  id: string;
  number: number;
}

/** The same in the caller's transaction. */
export async function releaseOrdersIn(
  client: pg.ClientBase, context: CompanyContext, ids: readonly string[], now = new Date(),
): Promise<(Released | Refused)[]> {
  const orders = await lockOrders(client, context.companyId, [...new Set(ids)]);
  const books = new WorkBooks(client, context, now);
  const facts = await loadFacts(client, context.companyId, [...orders.values()]);
  const results = ids.map((id) => {
    const state = orders.get(id);
    if (state === undefined) return { refused: 'no-such-order', facts: {} };
    return releaseOne(books, state, facts) ?? { id, number: state.number };
  });
  await books.write();
  return results;
}

interface Facts {
  checklists: Map<string, ChecklistStep[]>;
  doors: Map<string, DoorFacts>;
  positions: Map<string, ReleasePosition[]>;
  /** Of the findings to be tested again: the position, where one is known. */
  retested: Map<string, string | null>;
  limits: ForceLimitTable;
}

function releaseOne(books: WorkBooks, state: OrderState, facts: Facts): Refused | null {
  const { kind, retests } = state.order;
  const door = facts.doors.get(state.doorId)!;
  const positions = facts.positions.get(state.door.typeId) ?? [];
  const devices = positions.filter(({ safetyDevice }) => safetyDevice).map(({ id }) => id);
  const { steps, devices: checked } = releaseSteps({
    kind,
    checklist: (state.taskId === null ? undefined : facts.checklists.get(state.taskId)) ?? [],
    opening: { widthMm: door.widthMm, heightMm: door.heightMm },
    positions,
    counterModulus: door.modulus ?? undefined,
    limits: facts.limits,
    parts: state.parts,
    retests: [...new Set(retests.flatMap((id) => {
      const positionId = facts.retested.get(id);
      // A finding about no device in particular: all of them are tested again.
      return positionId != null && devices.includes(positionId) ? [positionId] : devices;
    }))],
  });
  const moved = applyWorkCommand(state.order, { command: 'release', steps, devices: checked });
  if ('refused' in moved) return { refused: moved.refused, facts: { ...moved.facts } };
  take(books, state, moved, { released_at: books.now.toISOString(), steps, devices: checked });
  books.note('work-order-released', 'work-order', state.id, { number: state.number, steps: steps.length });
  return null;
}

async function loadFacts(client: pg.ClientBase, companyId: string, orders: readonly OrderState[]): Promise<Facts> {
  const tasks = await client.query<{ id: string; checklist: ChecklistStep[] }>(
    'SELECT id, checklist FROM task WHERE company_id = $1::uuid AND id = ANY ($2::uuid[])',
    [companyId, orders.flatMap(({ taskId }) => taskId ?? [])],
  );
  const doors = await client.query<{ id: string; width_mm: number; height_mm: number; modulus: string | null }>(
    `SELECT d.id, d.width_mm, d.height_mm, (SELECT c.modulus FROM counter c WHERE c.company_id = d.company_id AND c.door_id = d.id
       AND c.removed_at IS NULL ORDER BY c.fitted_at DESC LIMIT 1) AS modulus
     FROM door d WHERE d.company_id = $1::uuid AND d.id = ANY ($2::uuid[])`,
    [companyId, orders.map(({ doorId }) => doorId)],
  );
  const places = await client.query<ReleasePosition & { typeId: string }>(
    `SELECT id, door_type_id AS "typeId", kind, name, safety_device AS "safetyDevice" FROM position
     WHERE company_id = $1::uuid AND door_type_id = ANY ($2::uuid[]) AND archived_at IS NULL ORDER BY door_type_id, ordinal, id`,
    [companyId, orders.map(({ door }) => door.typeId)],
  );
  const findings = await client.query<{ id: string; position_id: string | null }>(
    'SELECT id, position_id FROM finding WHERE company_id = $1::uuid AND id = ANY ($2::uuid[])',
    [companyId, orders.flatMap(({ order }) => order.retests)],
  );
  const positions = new Map<string, ReleasePosition[]>();
  for (const { typeId, ...position } of places.rows) positions.set(typeId, [...(positions.get(typeId) ?? []), position]);
  return {
    checklists: new Map(tasks.rows.map((row) => [row.id, row.checklist])),
    doors: new Map(doors.rows.map((row) => [row.id, { widthMm: row.width_mm, heightMm: row.height_mm, modulus: row.modulus === null ? null : Number(row.modulus) }])),
    positions,
    retested: new Map(findings.rows.map((row) => [row.id, row.position_id])),
    limits: (await forceLimitsInUse(client)).table,
  };
}
