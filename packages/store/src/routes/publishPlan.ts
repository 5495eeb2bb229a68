import type pg from 'pg';
import type { CompanyContext } from '../context.js';
import { bookOrders } from './bookOrders.js';
import { changedSince, lockPlan, note, type PlanRefusal } from './planVerbs.js';

export interface Published {
  visits: number;
  orders: number;
}

/**
 * Publishes an accepted plan: its visits can be seen by technicians and owners, all their work gets orders with technician and time, the plan
 * that it replaces is superseded. Nothing happens the second time.
 */
export async function publishPlan(client: pg.ClientBase, context: CompanyContext, planId: string, version: number | null): Promise<Published | PlanRefusal> {
  const plan = await lockPlan(client, context, planId);
  if (plan === null) return 'not-there';
  if (plan.state === 'published') return 'published-already';
  if (changedSince(plan, version)) return 'changed-meanwhile';
  if (plan.state !== 'accepted') return 'wrong-state';
  const { companyId } = context;
  const other = await client.query(
    `SELECT FROM route_plan WHERE company_id = $1 AND state = 'published' AND id IS DISTINCT FROM $2
       AND daterange(from_on, from_on + days) && daterange($3::date, $3::date + $4::int)`,
    [companyId, plan.basePlanId, plan.fromOn, plan.days],
  );
  if (other.rowCount !== 0) return 'overlaps';
  if (plan.basePlanId !== null) await supersede(client, companyId, plan.basePlanId, plan.fromOn);
  const visits = await client.query(
    'UPDATE route_visit SET published_at = now() WHERE company_id = $1 AND plan_id = $2 AND technician_id IS NOT NULL', [companyId, planId],
  );
  await client.query(`UPDATE route_plan SET state = 'published', published_at = now(), version = version + 1 WHERE company_id = $1 AND id = $2`, [companyId, planId]);
  const orders = await bookOrders(client, context, planId);
  const published = { visits: visits.rowCount ?? 0, orders };
  await note(client, context, planId, 'route-plan-published', { ...published, replaces: plan.basePlanId });
  return published;
}

/** What lies before the first day of the new plan stays published: it has happened. */
async function supersede(client: pg.ClientBase, companyId: string, planId: string, fromOn: string): Promise<void> {
  await client.query(`UPDATE route_plan SET state = 'superseded', version = version + 1 WHERE company_id = $1 AND id = $2`, [companyId, planId]);
  await client.query('UPDATE route_visit SET published_at = NULL WHERE company_id = $1 AND plan_id = $2 AND on_date >= $3', [companyId, planId, fromOn]);
}
