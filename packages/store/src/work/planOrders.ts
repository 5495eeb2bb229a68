import type pg from 'pg';
import type { CompanyContext } from '../context.js';
import { lockOrders } from './orderState.js';
import { WorkBooks } from './workBooks.js';

export interface PlannedOrder {
  orderId: string;
  technicianId: string;
  /** In the site's calendar. */
  plannedOn: string;
  plannedStart: string;
}

/**
 * Gives orders their technician, date and time, in the caller's transaction; such as have begun or are over stay as they are.
 * @returns how many were planned.
 */
export async function planOrders(client: pg.ClientBase, context: CompanyContext, planned: readonly PlannedOrder[]): Promise<number> {
  const states = await lockOrders(client, context.companyId, planned.map(({ orderId }) => orderId));
  const books = new WorkBooks(client, context, new Date());
  let count = 0;
  for (const { orderId, technicianId, plannedOn, plannedStart } of planned) {
    const state = states.get(orderId);
    if (state === undefined || (state.order.state !== 'planned' && state.order.state !== 'released')) continue;
    const former = state.technicianId !== null && state.technicianId !== technicianId ? [...new Set([...state.formerIds, state.technicianId])] : state.formerIds;
    books.change(state, { technician_id: technicianId, planned_on: plannedOn, planned_start: plannedStart, former_ids: former });
    books.note('work-order-planned', 'work-order', orderId, { technicianId, plannedOn, plannedStart });
    count += 1;
  }
  await books.write();
  return count;
}
