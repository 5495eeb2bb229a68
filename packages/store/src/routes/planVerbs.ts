import { usualRouteSettings, type ReplanCreate, type RoutePlanCreate, type RouteSettings } from '@lintel/contract';
import type pg from 'pg';
import { newId, type CompanyContext } from '../context.js';
import { enqueue } from '../jobs/enqueue.js';
import { writeLedger } from '../ledger/writeLedger.js';
import { planColumns, type PlanRow } from './planTypes.js';

export interface PlanAsked {
  planId: string;
  jobId: string;
}

/** Why something could not be done with a plan as it stands. */
export type PlanRefusal = 'not-there' | 'wrong-state' | 'published-already' | 'overlaps' | 'changed-meanwhile';

/** Asks for a plan; a job makes it. */
export async function createPlan(client: pg.ClientBase, context: CompanyContext, given: RoutePlanCreate): Promise<PlanAsked> {
  const settings: RouteSettings = { ...usualRouteSettings, ...(given.settings as Partial<RouteSettings> | undefined) };
  return insertPlan(client, context, { ...given, name: given.name ?? given.fromOn, settings, basePlanId: null, replanning: null });
}

/** Asks for a plan in the place of another: from today on, or from its first day. */
export async function replanPlan(client: pg.ClientBase, context: CompanyContext, baseId: string, given: ReplanCreate & { today: string; version: number | null }): Promise<PlanAsked | PlanRefusal> {
  const base = await lockPlan(client, context, baseId);
  if (base === null) return 'not-there';
  if (changedSince(base, given.version)) return 'changed-meanwhile';
  if (!['draft', 'accepted', 'published'].includes(base.state)) return 'wrong-state';
  const fromOn = base.fromOn > given.today ? base.fromOn : given.today;
  const days = base.days - (Date.parse(fromOn) - Date.parse(base.fromOn)) / 86_400_000;
  if (days < 1) return 'wrong-state';
  return insertPlan(client, context, {
    name: base.name, fromOn, days, seed: given.seed ?? base.seed, budgetSeconds: given.budgetSeconds ?? base.budgetSeconds, currency: base.currency,
    settings: base.settings, basePlanId: baseId, replanning: given.replanning,
  });
}

interface NewPlan {
  name: string;
  fromOn: string;
  days: number;
  seed: number;
  budgetSeconds: number;
  currency: string;
  settings: RouteSettings;
  basePlanId: string | null;
  replanning: unknown;
}

async function insertPlan(client: pg.ClientBase, context: CompanyContext, plan: NewPlan): Promise<PlanAsked> {
  const planId = newId();
  const jobId = await enqueue(client, context, 'plan-routes', { planId });
  await client.query(
    `INSERT INTO route_plan (company_id, id, name, state, from_on, days, seed, budget_seconds, settings, base_plan_id, replanning, currency, job_run, account_id)
     VALUES ($1, $2, $3, 'waiting', $4, $5, $6, $7, $8, $9, $10, $11, $12, $13)`,
    [context.companyId, planId, plan.name, plan.fromOn, plan.days, plan.seed, plan.budgetSeconds, JSON.stringify(plan.settings), plan.basePlanId,
      plan.replanning === null ? null : JSON.stringify(plan.replanning), plan.currency, jobId, context.accountId],
  );
  await note(client, context, planId, plan.basePlanId === null ? 'route-plan-asked' : 'route-plan-asked-again', { fromOn: plan.fromOn, days: plan.days });
  return { planId, jobId };
}

type LockedPlan = PlanRow & { name: string; currency: string };

export async function lockPlan(client: pg.ClientBase, { companyId }: CompanyContext, planId: string): Promise<LockedPlan | null> {
  const { rows } = await client.query<LockedPlan>(
    `SELECT ${planColumns}, p.name, p.currency::text AS currency FROM route_plan p WHERE p.company_id = $1 AND p.id = $2 FOR UPDATE`,
    [companyId, planId],
  );
  return rows[0] ?? null;
}

/** `version`: the one that was looked at; null: not said. */
export const changedSince = (plan: Pick<PlanRow, 'version'>, version: number | null): boolean => version !== null && plan.version !== version;

/** Takes a draft for good, or throws it away. `version`: the one that was looked at. */
export async function decidePlan(
  client: pg.ClientBase, context: CompanyContext, planId: string, deed: 'accept' | 'discard', version: number | null,
): Promise<'done' | PlanRefusal> {
  const plan = await lockPlan(client, context, planId);
  if (plan === null) return 'not-there';
  if (changedSince(plan, version)) return 'changed-meanwhile';
  const from = deed === 'accept' ? ['draft'] : ['waiting', 'draft', 'accepted', 'failed'];
  if (!from.includes(plan.state)) return 'wrong-state';
  await client.query(
    deed === 'accept'
      ? `UPDATE route_plan SET state = 'accepted', accepted_at = now(), version = version + 1 WHERE company_id = $1 AND id = $2`
      : `UPDATE route_plan SET state = 'discarded', version = version + 1 WHERE company_id = $1 AND id = $2`,
    [context.companyId, planId],
  );
  await note(client, context, planId, deed === 'accept' ? 'route-plan-accepted' : 'route-plan-discarded', {});
  return 'done';
}

export const note = (client: pg.ClientBase, context: CompanyContext, planId: string, action: string, detail: Record<string, unknown>): Promise<void> =>
  writeLedger(client, context, { action, subjectKind: 'route-plan', subjectId: planId, detail });
