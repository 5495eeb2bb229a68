import type { VisitMove } from '@lintel/contract';
import { priceMoves, type MovePrice, type PlannedRoute } from '@lintel/engine';
import type pg from 'pg';
import type { CompanyContext } from '../context.js';
import { changedSince, lockPlan, note, type PlanRefusal } from './planVerbs.js';
import type { KeptProblem } from './planTypes.js';
import { shiftOf } from './shiftOf.js';
import { writeSchedule } from './writeSchedule.js';

export interface OpenPlan {
  kept: KeptProblem;
  routes: PlannedRoute[];
}

/** A plan's problem and its routes as they stand; null where it has none yet. */
export async function openPlan(client: pg.ClientBase, companyId: string, planId: string): Promise<OpenPlan | null> {
  const { rows } = await client.query<{ kept: KeptProblem | null; fromOn: string }>(
    'SELECT problem AS kept, from_on::text AS "fromOn" FROM route_plan WHERE company_id = $1 AND id = $2', [companyId, planId]);
  const { kept, fromOn } = rows[0] ?? { kept: null, fromOn: '' };
  if (kept === null) return null;
  const { rows: placed } = await client.query<{ id: string; technicianId: string; on: string; startAt: string }>(
    `SELECT id, technician_id AS "technicianId", on_date::text AS on, to_char(start_at AT TIME ZONE 'UTC', 'YYYY-MM-DD"T"HH24:MI:SS.MS"Z"') AS "startAt" FROM route_visit
     WHERE company_id = $1 AND plan_id = $2 AND technician_id IS NOT NULL ORDER BY technician_id, start_at, ordinal`,
    [companyId, planId],
  );
  const routes = new Map<string, { technician: string; shift: number; stops: string[] }>();
  for (const visit of placed) {
    const { technicianId: technician } = visit;
    const shift = shiftOf(kept, fromOn, visit);
    const route = routes.get(`${technician}/${shift}`) ?? { technician, shift, stops: [] };
    route.stops.push(visit.id);
    routes.set(`${technician}/${shift}`, route);
  }
  return { kept, routes: [...routes.values()] };
}

/** What moving a visit to each place would cost. */
export function moveChoices({ kept, routes }: OpenPlan, visitId: string): MovePrice[] | null {
  const moves = priceMoves(kept.problem, routes, visitId, true);
  return 'faults' in moves ? null : moves;
}

export type MoveRefusal = PlanRefusal | 'no-such-visit' | 'no-such-place' | 'kept' | { breaches: MovePrice['breaches'] };

export interface VisitOfPlan {
  planId: string;
  visitId: string;
  /** Of the plan that was looked at; null: not said. */
  version: number | null;
}

/** Moves a visit of a draft or accepted plan by hand; what would break hours, skills, windows or loads is refused. */
export async function moveVisit(client: pg.ClientBase, context: CompanyContext, at: VisitOfPlan, move: VisitMove): Promise<'done' | MoveRefusal> {
  const plan = await lockPlan(client, context, at.planId);
  if (plan === null) return 'not-there';
  if (changedSince(plan, at.version)) return 'changed-meanwhile';
  if (plan.state !== 'draft' && plan.state !== 'accepted') return 'wrong-state';
  const open = await openPlan(client, context.companyId, at.planId);
  const visit = await client.query<{ kept: boolean }>('SELECT locked OR started_at IS NOT NULL AS kept FROM route_visit WHERE company_id = $1 AND plan_id = $2 AND id = $3',
    [context.companyId, at.planId, at.visitId]);
  const choices = open === null ? null : moveChoices(open, at.visitId);
  if (open === null || choices === null || visit.rowCount === 0) return 'no-such-visit';
  if (visit.rows[0]!.kept) return 'kept';
  const days = open.kept.shiftDays.find(({ technicianId }) => technicianId === move.technicianId)?.days ?? [];
  const chosen = choices
    .filter((one) => one.technician === move.technicianId && (move.technicianId === null || days[one.shift!] === move.onDate))
    .filter((one) => move.shift === undefined || one.shift === move.shift)
    .filter(({ position }) => move.position === undefined || position === move.position)
    .sort((a, b) => a.breaches.length - b.breaches.length || a.difference - b.difference)[0];
  if (chosen === undefined) return 'no-such-place';
  if (chosen.breaches.length > 0) return { breaches: chosen.breaches };
  const routes = changedRoutes(open.routes, at.visitId, chosen);
  const served = new Set(routes.flatMap(({ stops }) => stops));
  const unserved = open.kept.problem.stops.filter(({ id }) => !served.has(id)).map(({ id }) => ({ id, reason: 'price' as const }));
  const leftOut = await writeSchedule(client, context.companyId, plan, open.kept, { routes, unserved });
  await client.query(
    `UPDATE route_plan SET version = version + 1, notices = (SELECT coalesce(jsonb_agg(n), '[]') FROM jsonb_array_elements(notices) n
       WHERE n ->> 'code' <> 'safety-left-out') || $3::jsonb WHERE company_id = $1 AND id = $2`,
    [context.companyId, at.planId, JSON.stringify(leftOut)],
  );
  await note(client, context, at.planId, 'route-visit-moved', { visitId: at.visitId, ...move, difference: Math.round(chosen.difference) });
  return 'done';
}

function changedRoutes(routes: readonly PlannedRoute[], visitId: string, to: MovePrice): PlannedRoute[] {
  const without = routes.map((route) => ({ ...route, stops: route.stops.filter((id) => id !== visitId) }));
  if (to.technician === null) return without.filter(({ stops }) => stops.length > 0);
  const target = without.find(({ technician, shift }) => technician === to.technician && shift === to.shift)
    ?? { technician: to.technician, shift: to.shift!, stops: [] };
  const changed = { ...target, stops: target.stops.toSpliced(to.position!, 0, visitId) };
  return [...without.filter((route) => route !== target && route.stops.length > 0), changed];
}

/** Keeps a visit where it is when the plan is made again, or lets go of it. */
export async function lockVisit(client: pg.ClientBase, context: CompanyContext, at: VisitOfPlan, locked: boolean): Promise<'done' | MoveRefusal> {
  const plan = await lockPlan(client, context, at.planId);
  if (plan === null) return 'not-there';
  if (changedSince(plan, at.version)) return 'changed-meanwhile';
  if (!['draft', 'accepted', 'published'].includes(plan.state)) return 'wrong-state';
  const { rowCount } = await client.query(
    'UPDATE route_visit SET locked = $4 WHERE company_id = $1 AND plan_id = $2 AND id = $3 AND technician_id IS NOT NULL',
    [context.companyId, at.planId, at.visitId, locked],
  );
  if (rowCount === 0) return 'no-such-visit';
  await client.query('UPDATE route_plan SET version = version + 1 WHERE company_id = $1 AND id = $2', [context.companyId, at.planId]);
  await note(client, context, at.planId, locked ? 'route-visit-locked' : 'route-visit-unlocked', { visitId: at.visitId });
  return 'done';
}
