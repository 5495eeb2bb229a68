import type { FindingChange, FindingCreate, TechnicianCommand, WorkOrderChange } from '@lintel/contract';
import { applyWorkCommand, type WorkCommand } from '@lintel/engine';
import type pg from 'pg';
import { newId, type CompanyContext, type Store } from '../context.js';
import { loadTechnicians } from './createOrders.js';
import type { Sender } from './deviceCommands.js';
import { loadKnownRows } from './knownRows.js';
import { lockDoors, lockOrders, type OrderState } from './orderState.js';
import { applyTechnicianCommand, effectsOfReport, findingRow, take, type Refused } from './technicianCommand.js';
import { correctiveOrder, WorkBooks } from './workBooks.js';
import { takeOut } from './workEffects.js';

/** What was asked of an order at a desk: done, or why not. */
export type DeskResult = { version: number } | Refused;

/** Over which version it was asked; null: over whichever stands. */
type Version = number | null;

type Work = (books: WorkBooks, state: OrderState, client: pg.ClientBase) => Promise<Refused | null> | Refused | null;

/** One order under lock: the work on it and what follows, or nothing. */
async function onOrder(store: Store, context: CompanyContext, orderId: string, version: Version, work: Work): Promise<DeskResult> {
  return store.withCompanySql(context, (client) => orderIn(client, context, orderId, { version, now: new Date() }, work));
}

async function orderIn(
  client: pg.ClientBase, context: CompanyContext, orderId: string, { version, now }: { version: Version; now: Date }, work: Work,
): Promise<DeskResult> {
  const state = (await lockOrders(client, context.companyId, [orderId])).get(orderId);
  if (state === undefined) return refused('no-such-order');
  if (version !== null && version !== state.version) return refused('stale', { version: state.version });
  const books = new WorkBooks(client, context, now);
  const against = await work(books, state, client);
  if (against !== null) return against;
  await books.write();
  return { version: state.version };
}

const refused = (code: string, facts: Record<string, unknown> = {}): Refused => ({ refused: code, facts });

/** A technician's command, given at a desk: no device, no clock but the server's. */
export function workAtDesk(store: Store, sender: Sender, orderId: string, version: Version, command: TechnicianCommand): Promise<DeskResult> {
  return onOrder(store, sender.context, orderId, version, async (books, state, client) => {
    const known = await loadKnownRows(client, sender.context.companyId, [{ understood: command }], new Map([[orderId, state]]));
    const { accountId, planner } = sender;
    const result = applyTechnicianCommand(books, state, command, { id: newId(), accountId, planner, deviceMs: undefined, known });
    return 'refused' in result ? result : null;
  });
}

function moved(books: WorkBooks, state: OrderState, command: WorkCommand, columns: Record<string, unknown>, detail: Record<string, unknown>): Refused | null {
  const result = applyWorkCommand(state.order, command);
  if ('refused' in result) return refused(result.refused, { ...result.facts });
  take(books, state, result, columns);
  books.note(`work-order-${{ review: 'reviewed', cancel: 'cancelled' }[command.command as 'review']}`, 'work-order', state.id, { number: state.number, ...detail });
  return null;
}

const reviewed: Work = (books, state) =>
  moved(books, state, { command: 'review' }, { reviewed_at: books.now.toISOString(), reviewed_by_id: books.context.accountId }, {});

const cancelled = (reason: string): Work => (books, state) =>
  moved(books, state, { command: 'cancel', reason }, { cancelled_at: books.now.toISOString(), cancel_reason: reason.trim() }, { reason });

export function reviewOrder(store: Store, context: CompanyContext, orderId: string, version: Version): Promise<DeskResult> {
  return onOrder(store, context, orderId, version, reviewed);
}

export function cancelOrder(store: Store, context: CompanyContext, orderId: string, version: Version, reason: string): Promise<DeskResult> {
  return onOrder(store, context, orderId, version, cancelled(reason));
}

/** The same in the caller's transaction, at a time of its own. */
export const reviewOrderIn = (client: pg.ClientBase, context: CompanyContext, orderId: string, now: Date): Promise<DeskResult> =>
  orderIn(client, context, orderId, { version: null, now }, reviewed);
export const cancelOrderIn = (client: pg.ClientBase, context: CompanyContext, orderId: string, now: Date, reason: string): Promise<DeskResult> =>
  orderIn(client, context, orderId, { version: null, now }, cancelled(reason));

/** What is planned of an order: by whom, when, how long. What is to be done is fixed at its release. */
export function changeOrder(store: Store, context: CompanyContext, orderId: string, version: Version, given: WorkOrderChange): Promise<DeskResult> {
  return onOrder(store, context, orderId, version, async (books, state, client) => {
    const { state: at } = state.order;
    if (at !== 'planned' && at !== 'released' && at !== 'started') return refused('not-in-this-state', { state: at, command: 'change' });
    const { technicianId, title, instructions, minutes, plannedOn, plannedStart } = given;
    if (technicianId != null && !(await loadTechnicians(client, context.companyId, [technicianId])).has(technicianId)) {
      return refused('no-such-technician', { field: 'technicianId' });
    }
    const said = { title, instructions, minutes, planned_on: plannedOn, planned_start: plannedStart, technician_id: technicianId };
    const changes: Record<string, unknown> = Object.fromEntries(Object.entries(said).filter(([, value]) => value !== undefined));
    if (technicianId !== undefined && technicianId !== state.technicianId && state.technicianId !== null) {
      changes['former_ids'] = [...new Set([...state.formerIds, state.technicianId])];
    }
    books.change(state, changes);
    books.note('work-order-changed', 'work-order', state.id, { number: state.number, ...given });
    return null;
  });
}

/** A finding on a door, of no order. An unsafe one takes the door out of service at once; either way work follows. */
export function addFinding(store: Store, context: CompanyContext & { accountId: string }, given: FindingCreate): Promise<{ id: string } | Refused> {
  return store.withCompanySql(context, async (client) => {
    const { companyId, accountId } = context;
    const door = (await lockDoors(client, companyId, [given.doorId])).get(given.doorId);
    if (door === undefined) return refused('no-such-door', { field: 'doorId' });
    const partKind = await partKindAt(client, companyId, door.typeId, given.positionId ?? null);
    if (partKind === undefined) return refused('no-such-position', { field: 'positionId' });
    const books = new WorkBooks(client, context, new Date());
    const { severity, text } = given;
    const id = newId();
    books.findings.push(findingRow({
      id, doorId: door.id, orderId: null, positionId: given.positionId ?? null, severity, text, photoIds: given.photoIds ?? [],
      foundMs: books.now.getTime(), accountId,
    }));
    books.note('finding-reported', 'finding', id, { severity, doorId: door.id, ofOrder: false });
    for (const effect of effectsOfReport({ id, severity, text })) {
      if (effect.effect === 'take-door-out-of-service') takeOut(books, door, [id], text);
      if (effect.effect === 'open-corrective') {
        books.newOrders.push(correctiveOrder({ id, doorId: door.id, severity, text, partKind }, { createdById: accountId, createdAt: books.now }));
      }
    }
    await books.write();
    return { id };
  });
}

/** Undefined: there is no such position on doors of the type; null: none was named. */
async function partKindAt(client: pg.ClientBase, companyId: string, typeId: string, positionId: string | null): Promise<string | null | undefined> {
  if (positionId === null) return null;
  const { rows } = await client.query<{ kind: string }>(
    'SELECT kind FROM position WHERE company_id = $1::uuid AND door_type_id = $2::uuid AND id = $3::uuid', [companyId, typeId, positionId]);
  return rows[0]?.kind;
}

/** Tells a finding better, or resolves it by hand; what is unsafe only a passed retest clears. */
export function changeFinding(store: Store, context: CompanyContext, id: string, version: number, given: FindingChange): Promise<DeskResult> {
  return store.withCompanySql(context, async (client) => {
    const { rows: [found] } = await client.query<{ severity: string; cleared: boolean; version: number }>(
      `SELECT severity::text, cleared_at IS NOT NULL AS cleared, version FROM finding
       WHERE company_id = $1::uuid AND id = $2::uuid FOR NO KEY UPDATE`, [context.companyId, id]);
    if (found === undefined) return refused('no-such-finding');
    if (found.version !== version) return refused('stale', { version: found.version });
    if (found.cleared) return refused('finding-cleared');
    if (given.resolution !== undefined && found.severity === 'unsafe') return refused('unsafe-needs-retest');
    const books = new WorkBooks(client, context, new Date());
    await client.query(
      `UPDATE finding SET text = coalesce($3, text), resolution = $4, cleared_at = CASE WHEN $4::text IS NULL THEN NULL ELSE $5::timestamptz END,
         version = version + 1 WHERE company_id = $1::uuid AND id = $2::uuid`,
      [context.companyId, id, given.text ?? null, given.resolution ?? null, books.now],
    );
    books.note(given.resolution === undefined ? 'finding-changed' : 'finding-resolved', 'finding', id, { ...given });
    await books.write();
    return { version: version + 1 };
  });
}
