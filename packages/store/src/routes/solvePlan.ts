import type { PlanNotice } from '@lintel/contract';
import type { PlannedRoute, RouteProblem, RouteSolution } from '@lintel/engine';
import type { CompanyContext, Store } from '../context.js';
import { planColumns, type KeptProblem, type PlanRow } from './planTypes.js';
import { preparePlan, type PreparedPlan, type PrepareOptions } from './preparePlan.js';
import { insertVisits, writeSchedule, type Schedule } from './writeSchedule.js';

/** What a solver is given; it lives in a thread of its own. */
export interface SolveTask {
  problem: RouteProblem;
  start: readonly PlannedRoute[];
  seed: number;
  seconds: number;
}

export interface SolveProgress {
  fraction: number;
  iterations: number;
  best: RouteSolution;
}

export interface SolveCall extends PrepareOptions {
  /** Solves until its time is over or `onProgress` answers that it is to stop; the best plan it has. */
  solve: (task: SolveTask, onProgress: (progress: SolveProgress) => Promise<'go-on' | 'stop'>) => Promise<RouteSolution>;
  isCancelled: () => Promise<boolean>;
}

/**
 * Makes a plan that is waited for: demand, travel, problem; solves it and keeps the best so far with every progress. Done a
 * second time (a worker that died) it begins anew. Stopped, it keeps the best it has.
 * @returns whether there was something to do; 'cancelled' with the best so far kept as a draft.
 */
export async function solvePlan(store: Store, context: CompanyContext, planId: string, call: SolveCall): Promise<'done' | 'cancelled' | 'over'> {
  const plan = await beginPlan(store, context, planId);
  if (plan === null) return 'over';
  try {
    const prepared = await preparePlan(store, context, plan, call);
    await keepPrepared(store, context, plan, prepared);
    const { kept, start } = prepared;
    let cancelled = false;
    const solution = await call.solve({ problem: kept.problem, start, seed: plan.seed, seconds: plan.budgetSeconds }, async ({ fraction, iterations, best }) => {
      await keepBest(store, context, { plan, kept, best, fraction, iterations });
      cancelled = await call.isCancelled();
      return cancelled ? 'stop' : 'go-on';
    });
    await finishPlan(store, context, plan, prepared, solution);
    return cancelled ? 'cancelled' : 'done';
  } catch (error) {
    await failPlan(store, context, planId, error instanceof Error ? error.message : String(error));
    throw error;
  }
}

async function beginPlan(store: Store, context: CompanyContext, planId: string): Promise<PlanRow | null> {
  const { rows } = await store.withCompanySql(context, (client) =>
    client.query<PlanRow>(
      `UPDATE route_plan p SET state = 'solving', error = NULL, fraction = 0, iterations = 0, version = p.version + 1
       WHERE p.company_id = $1 AND p.id = $2 AND p.state IN ('waiting', 'solving', 'failed') RETURNING ${planColumns}`,
      [context.companyId, planId],
    ),
  );
  return rows[0] ?? null;
}

async function keepPrepared(store: Store, context: CompanyContext, plan: PlanRow, { visits, kept, notices }: PreparedPlan): Promise<void> {
  await store.withCompanySql(context, async (client) => {
    await insertVisits(client, context.companyId, plan.id, visits);
    await client.query('UPDATE route_plan SET problem = $3, notices = $4 WHERE company_id = $1 AND id = $2', [
      context.companyId, plan.id, JSON.stringify(kept), JSON.stringify(notices),
    ]);
  });
}

interface Best {
  plan: PlanRow;
  kept: KeptProblem;
  best: RouteSolution;
  fraction: number;
  iterations: number;
}

async function keepBest(store: Store, context: CompanyContext, { plan, kept, best, fraction, iterations }: Best): Promise<void> {
  await store.withCompanySql(context, async (client) => {
    await writeSchedule(client, context.companyId, plan, kept, scheduleOf(best));
    await client.query('UPDATE route_plan SET fraction = $3, iterations = $4 WHERE company_id = $1 AND id = $2', [
      context.companyId, plan.id, Math.min(1, fraction), iterations,
    ]);
  });
}

async function finishPlan(store: Store, context: CompanyContext, plan: PlanRow, prepared: PreparedPlan, solution: RouteSolution): Promise<void> {
  const { kept, visits } = prepared;
  await store.withCompanySql(context, async (client) => {
    const leftOut = await writeSchedule(client, context.companyId, plan, kept, scheduleOf(solution));
    const pinned = visits.filter(({ locked, startedAt }) => locked || startedAt !== null);
    await client.query(
      `UPDATE route_visit v SET locked = l.locked, started_at = l."startedAt"
       FROM jsonb_to_recordset($3::jsonb) AS l(id uuid, locked boolean, "startedAt" timestamptz)
       WHERE v.company_id = $1 AND v.plan_id = $2 AND v.id = l.id AND v.technician_id IS NOT NULL`,
      [context.companyId, plan.id, JSON.stringify(pinned)],
    );
    const notices: PlanNotice[] = [...prepared.notices, ...leftOut];
    await client.query(
      `UPDATE route_plan SET state = 'draft', fraction = 1, iterations = $3, notices = $4, solved_at = now(), version = version + 1
       WHERE company_id = $1 AND id = $2`,
      [context.companyId, plan.id, solution.iterations, JSON.stringify(notices)],
    );
  });
}

const scheduleOf = ({ routes, unserved }: RouteSolution): Schedule => ({
  routes: routes.map(({ technician, shift, stops }) => ({ technician, shift, stops: stops.map(({ id }) => id) })),
  unserved,
});

async function failPlan(store: Store, context: CompanyContext, planId: string, reason: string): Promise<void> {
  await store.withCompanySql(context, (client) =>
    client.query(`UPDATE route_plan SET state = 'failed', error = left($3, 1000), version = version + 1 WHERE company_id = $1 AND id = $2`, [
      context.companyId, planId, reason,
    ]),
  );
}
