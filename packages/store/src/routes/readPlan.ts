import type { PlanDifference, PlanRoute, PlanVisit } from '@lintel/contract';
import { comparePlans, type ComparedVisit } from '@lintel/engine';
import type pg from 'pg';
import { instantAt, zeroOf } from './localTime.js';
import type { KeptProblem } from './planTypes.js';
import { shiftOf } from './shiftOf.js';
import { stockOfPlan } from './stockOfPlan.js';

const iso = (column: string): string => `to_char(${column} AT TIME ZONE 'UTC', 'YYYY-MM-DD"T"HH24:MI:SS.MS"Z"')`;

/** The visits of a plan, placed ones first, in the order of the routes. */
export async function visitsOfPlan(client: pg.ClientBase, companyId: string, planId: string): Promise<PlanVisit[]> {
  const { rows } = await client.query<PlanVisit>(
    `SELECT v.id, v.site_id AS "siteId", s.name AS "siteName", s.time_zone AS "timeZone", s.latitude::float8 AS latitude, s.longitude::float8 AS longitude,
       v.technician_id AS "technicianId", v.on_date::text AS "onDate", v.ordinal, ${iso('v.arrive_at')} AS "arriveAt", ${iso('v.start_at')} AS "startAt",
       ${iso('v.leave_at')} AS "leaveAt", v.travel_minutes AS "travelMinutes", v.travel_km AS "travelKm", v.waiting_minutes AS "waitingMinutes",
       v.slack_minutes AS "slackMinutes", v.minutes, v.skills, v.items, v.parts, v.costs, v.reason, v.locked, ${iso('v.started_at')} AS "startedAt",
       ${iso('v.published_at')} AS "publishedAt"
     FROM route_visit v JOIN site s ON s.company_id = v.company_id AND s.id = v.site_id
     WHERE v.company_id = $1 AND v.plan_id = $2 ORDER BY v.technician_id NULLS LAST, v.on_date, v.start_at, v.ordinal, v.id`,
    [companyId, planId],
  );
  return rows;
}

interface PlanHead {
  fromOn: string;
  kept: KeptProblem | null;
}

/** The routes of a plan: every technician's every day, also those without a visit. */
export async function routesOfPlan(client: pg.ClientBase, companyId: string, planId: string, visits: readonly PlanVisit[]): Promise<PlanRoute[]> {
  const { rows } = await client.query<PlanHead>('SELECT from_on::text AS "fromOn", problem AS kept FROM route_plan WHERE company_id = $1 AND id = $2', [companyId, planId]);
  const { fromOn, kept } = rows[0] ?? { fromOn: '', kept: null };
  if (kept === null) return [];
  const names = await client.query<{ id: string; name: string; latitude: number; longitude: number }>(
    `SELECT a.id, a.name, t.home_latitude::float8 AS latitude, t.home_longitude::float8 AS longitude FROM technician t
     JOIN account a ON a.company_id = t.company_id AND a.id = t.id WHERE t.company_id = $1`, [companyId]);
  const people = new Map(names.rows.map((row) => [row.id, row]));
  const stock = await stockOfPlan(client, companyId, planId);
  const zero = zeroOf(fromOn);
  return kept.problem.technicians.flatMap(({ id, home, shifts }) => {
    const days = kept.shiftDays.find(({ technicianId }) => technicianId === id)?.days ?? [];
    return shifts.map(({ from, to }, shift): PlanRoute => {
      const onDate = days[shift]!;
      const mine = visits.filter((visit) => visit.technicianId === id && visit.onDate === onDate && shiftOf(kept, fromOn, { technicianId: id, on: onDate, startAt: visit.startAt! }) === shift);
      // A van is loaded once a day, before its first visit.
      const first = visits.find((visit) => visit.technicianId === id && visit.onDate === onDate)?.id;
      const loads = first !== undefined && mine[0]?.id === first;
      const back = backHome(kept, home, mine);
      const { name, latitude, longitude } = people.get(id)!;
      const sum = (pick: (visit: PlanVisit) => number | null) => mine.reduce((total, visit) => total + (pick(visit) ?? 0), 0);
      return {
        technicianId: id, technicianName: name, onDate, shift, shiftFrom: instantAt(zero, from), shiftTo: instantAt(zero, to), home: { latitude, longitude },
        leaveHomeAt: mine.length === 0 ? null : new Date(Date.parse(mine[0]!.arriveAt!) - mine[0]!.travelMinutes! * 60_000).toISOString(),
        endAt: back === null ? null : new Date(Date.parse(mine.at(-1)!.leaveAt!) + back.minutes * 60_000).toISOString(), visitIds: mine.map((visit) => visit.id),
        travelMinutes: sum((visit) => visit.travelMinutes) + (back?.minutes ?? 0), travelKm: sum((visit) => visit.travelKm) + (back?.km ?? 0),
        workMinutes: sum((visit) => visit.minutes), waitingMinutes: sum((visit) => visit.waitingMinutes),
        carry: (!loads ? [] : stock.find((line) => line.technicianId === id && line.on === onDate)?.carry ?? []) as PlanRoute['carry'],
      };
    });
  });
}

function backHome({ problem, km }: KeptProblem, home: number, visits: readonly PlanVisit[]): { minutes: number; km: number } | null {
  const last = problem.stops.find(({ id }) => id === visits.at(-1)?.id);
  return last === undefined ? null : { minutes: problem.travelMinutes[last.place]![home]!, km: km[last.place]![home]! };
}

/** What accepting a plan changes against the one that it replaces; null where there is no such plan. */
export async function planDifferenceOf(client: pg.ClientBase, companyId: string, planId: string): Promise<PlanDifference | null> {
  const { rows } = await client.query<{ basePlanId: string | null; fromOn: string; after: number | null; before: number | null }>(
    `SELECT p.base_plan_id AS "basePlanId", p.from_on::text AS "fromOn", p.cost::float8 AS after, b.cost::float8 AS before FROM route_plan p
     LEFT JOIN route_plan b ON b.company_id = p.company_id AND b.id = p.base_plan_id WHERE p.company_id = $1 AND p.id = $2`,
    [companyId, planId],
  );
  const [head] = rows;
  if (head === undefined) return null;
  const after = await visitsOfPlan(client, companyId, planId);
  const before = head.basePlanId === null ? [] : (await visitsOfPlan(client, companyId, head.basePlanId)).filter(({ onDate }) => onDate === null || onDate >= head.fromOn);
  const names = await client.query<{ id: string; name: string }>('SELECT id, name FROM account WHERE company_id = $1', [companyId]);
  const nameOf = new Map(names.rows.map(({ id, name }) => [id, name]));
  const byId = new Map([...before, ...after].map((visit) => [visit.id, visit]));
  const changes = comparePlans(before.map(compared), after.map(compared));
  const placed = ({ id }: ComparedVisit) => {
    const { technicianId, onDate, startAt } = byId.get(id)!;
    return { technicianId: technicianId!, technicianName: nameOf.get(technicianId!) ?? null, onDate: onDate!, startAt: startAt! };
  };
  const site = ({ id, siteId }: ComparedVisit) => ({ visitId: id, siteId, siteName: byId.get(id)!.siteName });
  const itemsOf = (visit: ComparedVisit, keys: readonly string[]) => byId.get(visit.id)!.items.filter((item) => keys.includes(item.key));
  return {
    basePlanId: head.basePlanId,
    moved: changes.moved.map((move) => ({ ...site(move.after), before: placed(move.before), after: placed(move.after), otherRoute: move.otherRoute, announced: move.before.announced })),
    added: changes.added.map((visit) => ({ ...site(visit), after: placed(visit) })),
    dropped: changes.dropped.map((visit) => ({ ...site(visit), before: placed(visit), announced: visit.announced })),
    reworked: changes.reworked.map((visit) => ({
      ...site(visit.after), at: placed(visit.after), gained: itemsOf(visit.after, visit.gained), lost: itemsOf(visit.before, visit.lost), minutes: visit.minutes,
    })),
    unchanged: changes.unchanged,
    cost: { before: head.before, after: head.after },
  };
}

const compared = (visit: PlanVisit): ComparedVisit => ({
  id: visit.id, siteId: visit.siteId, keys: visit.items.map(({ key }) => key), minutes: visit.minutes, technicianId: visit.technicianId, on: visit.onDate,
  startAtMs: visit.startAt === null ? null : Date.parse(visit.startAt), announced: visit.publishedAt !== null,
});
