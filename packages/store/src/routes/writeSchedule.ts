import type { PlanNotice } from '@lintel/contract';
import { overdueDays, priceRoute, routeSlack, visitDayPrice, type PlannedRoute, type RouteStop, type UnservedStop, type VisitItem, type VisitPrices } from '@lintel/engine';
import type pg from 'pg';
import { instantAt, zeroOf } from './localTime.js';
import type { KeptProblem, PlanRow } from './planTypes.js';
import type { PreparedVisit } from './preparePlan.js';

/** Routes with what is left out: a solution, or a plan changed by hand. */
export interface Schedule {
  routes: readonly PlannedRoute[];
  unserved: readonly UnservedStop[];
}

interface VisitLine {
  id: string;
  technicianId: string | null;
  onDate: string | null;
  ordinal: number | null;
  arriveAt: string | null;
  startAt: string | null;
  leaveAt: string | null;
  travelMinutes: number | null;
  travelKm: number | null;
  waitingMinutes: number | null;
  slackMinutes: number | null;
  costs: Record<'travel' | 'late' | 'early' | 'moved' | 'trip' | 'unserved', number>;
  reason: string | null;
}

const noCosts = { travel: 0, late: 0, early: 0, moved: 0, trip: 0, unserved: 0 };

/** Puts the visits of a plan down, without a place yet. */
export async function insertVisits(client: pg.ClientBase, companyId: string, planId: string, visits: readonly PreparedVisit[]): Promise<void> {
  await client.query('DELETE FROM route_visit WHERE company_id = $1 AND plan_id = $2', [companyId, planId]);
  await client.query(
    `INSERT INTO route_visit (company_id, id, plan_id, site_id, minutes, skills, items, parts, costs, reason)
     SELECT $1, v.id, $2, v."siteId", v.minutes, v.skills, v.items, v.parts, $4, v.reason
     FROM jsonb_to_recordset($3::jsonb) AS v(id uuid, "siteId" uuid, minutes float8, skills text[], items jsonb, parts jsonb, reason text)`,
    [companyId, planId, JSON.stringify(visits.map((visit) => ({
      ...visit,
      parts: visit.items.flatMap((item) => item.parts.map((kind) => ({ kind, quantity: 1, for: item.kind, doorId: item.doorId }))),
      reason: visit.noPlace ? 'no-place' : null,
    }))), JSON.stringify(noCosts)],
  );
}

/** Writes where and when each visit is, what it costs and why others are left out; and the plan's cost. One statement for all. */
export async function writeSchedule(client: pg.ClientBase, companyId: string, plan: PlanRow, kept: KeptProblem, schedule: Schedule): Promise<PlanNotice[]> {
  const { rows } = await client.query<{ id: string; items: VisitItem[]; locked: boolean; siteName: string; reason: string | null }>(
    `SELECT v.id, v.items, v.locked, s.name AS "siteName", v.reason FROM route_visit v JOIN site s ON s.company_id = v.company_id AND s.id = v.site_id
     WHERE v.company_id = $1 AND v.plan_id = $2`,
    [companyId, plan.id],
  );
  const itemsOf = new Map(rows.map(({ id, items }) => [id, items]));
  const { lines, cost, travel } = linesOf(plan, kept, schedule, itemsOf);
  await client.query(
    `UPDATE route_visit v SET technician_id = l."technicianId", on_date = l."onDate", ordinal = l.ordinal, arrive_at = l."arriveAt",
       start_at = l."startAt", leave_at = l."leaveAt", travel_minutes = l."travelMinutes", travel_km = l."travelKm",
       waiting_minutes = l."waitingMinutes", slack_minutes = l."slackMinutes", costs = l.costs, reason = l.reason, items = l.items
     FROM jsonb_to_recordset($3::jsonb) AS l(id uuid, "technicianId" uuid, "onDate" date, ordinal int, "arriveAt" timestamptz, "startAt" timestamptz,
       "leaveAt" timestamptz, "travelMinutes" float8, "travelKm" float8, "waitingMinutes" float8, "slackMinutes" float8, costs jsonb, reason text, items jsonb)
     WHERE v.company_id = $1 AND v.plan_id = $2 AND v.id = l.id`,
    [companyId, plan.id, JSON.stringify(lines.map((line) => ({ ...line, items: overdueAt(itemsOf.get(line.id)!, line.onDate ?? dayAfter(plan)) })))],
  );
  await client.query('UPDATE route_plan SET cost = $3, travel_cost = $4 WHERE company_id = $1 AND id = $2', [companyId, plan.id, Math.round(cost), Math.round(travel)]);
  const leftOut = rows.filter(({ id, items }) => {
    const line = lines.find((one) => one.id === id);
    return (line === undefined || line.technicianId === null) && items.some(({ kind }) => kind === 'safety');
  });
  return leftOut.map(({ siteName, items }) => ({
    code: 'safety-left-out', facts: { site: siteName, items: items.filter(({ kind }) => kind === 'safety').length },
  }));
}

const dayAfter = (plan: PlanRow): string => new Date(zeroOf(plan.fromOn) + plan.days * 86_400_000).toISOString().slice(0, 10);
const overdueAt = (items: readonly VisitItem[], on: string) => items.map((item) => ({ ...item, overdueDays: overdueDays(item, on) }));

interface Pricing {
  plan: PlanRow;
  kept: KeptProblem;
  stopOf: ReadonlyMap<string, RouteStop>;
  itemsOf: ReadonlyMap<string, VisitItem[]>;
}

function linesOf(plan: PlanRow, kept: KeptProblem, schedule: Schedule, itemsOf: ReadonlyMap<string, VisitItem[]>) {
  const stopOf = new Map(kept.problem.stops.map((stop) => [stop.id, stop]));
  const lines: VisitLine[] = [];
  const sum = { cost: 0, travel: 0 };
  for (const planned of schedule.routes) {
    const { cost, travel, visits } = routeLines(planned, { plan, kept, stopOf, itemsOf });
    sum.cost += cost;
    sum.travel += travel;
    lines.push(...visits);
  }
  for (const { id, reason } of schedule.unserved) {
    const unserved = stopOf.get(id)!.unservedPrice ?? 0;
    sum.cost += unserved;
    lines.push({
      id, technicianId: null, onDate: null, ordinal: null, arriveAt: null, startAt: null, leaveAt: null, travelMinutes: null, travelKm: null,
      waitingMinutes: null, slackMinutes: null, costs: { ...noCosts, unserved: Math.round(unserved) }, reason,
    });
  }
  return { lines, ...sum };
}

function routeLines(planned: PlannedRoute, { plan, kept, stopOf, itemsOf }: Pricing): { cost: number; travel: number; visits: VisitLine[] } {
  const { problem, km, shiftDays, announced } = kept;
  const technician = problem.technicians.find(({ id }) => id === planned.technician)!;
  const { cost, travel, route } = priceRoute(problem, technician, planned.shift, planned.stops.map((id) => stopOf.get(id)!));
  const slack = routeSlack(problem, route);
  const onDate = shiftDays.find(({ technicianId }) => technicianId === technician.id)!.days[planned.shift]!;
  const zero = zeroOf(plan.fromOn);
  const prices: VisitPrices = plan.settings.prices;
  let from = technician.home;
  const visits = route.stops.map(({ id, arrive: soonest, start, leave }, ordinal): VisitLine => {
    // Who would wait at the first door leaves home later.
    const arrive = ordinal === 0 ? start : soonest;
    const to = stopOf.get(id)!.place;
    const leg = { minutes: problem.travelMinutes[from]![to]!, km: km[from]![to]!, cost: (problem.travelCost ?? problem.travelMinutes)[from]![to]! };
    from = to;
    const day = visitDayPrice(itemsOf.get(id) ?? [], onDate, { prices, since: plan.fromOn });
    const was = announced[id];
    const moved = was !== undefined && (was.technician !== technician.id || was.on !== onDate) ? prices.movedVisit : 0;
    return {
      id, technicianId: technician.id, onDate, ordinal, arriveAt: instantAt(zero, arrive), startAt: instantAt(zero, start), leaveAt: instantAt(zero, leave),
      travelMinutes: leg.minutes, travelKm: leg.km, waitingMinutes: start - arrive, slackMinutes: slack[ordinal]!,
      costs: { travel: Math.round(leg.cost), late: Math.round(day.late), early: Math.round(day.early), moved, trip: prices.trip, unserved: 0 },
      reason: null,
    };
  });
  return { cost, travel, visits };
}
