import type { Demand, FindingGrade } from '@lintel/engine';
import type pg from 'pg';
import { doorRenewals } from '../wear/doorRenewals.js';
import { dateAfter } from './localTime.js';

/** Demand with the words that a page shows and what publishing needs. */
export interface NamedDemand extends Demand {
  doorName: string;
  title: string;
  taskId: string | null;
  fittedPartId: string | null;
  workOrderId: string | null;
}

export interface DemandQuery {
  companyId: string;
  /** Null: all sites. */
  siteIds: readonly string[] | null;
  fromOn: string;
  horizonDays: number;
  now: Date;
}

/** Minutes of a finding or a renewal of which no order says more. Common practice, no source. */
const FINDING_MINUTES = 60;
const RENEWAL_MINUTES = 45;
/** A finding is due so many days after it was seen. Common practice, no source. */
const FINDING_DAYS: Record<FindingGrade, number> = { unsafe: 0, defect: 14, note: 90 };

/**
 * What the doors of the sites want: due items, open orders, open findings, and renewals worth doing while one is there. An
 * order for a due task stands for it and keeps its dates, so that no order moves a safety inspection.
 */
export async function loadDemand(client: pg.ClientBase, query: DemandQuery): Promise<NamedDemand[]> {
  const demand = [...(await dueDemand(client, query)), ...(await orderDemand(client, query)), ...(await findingDemand(client, query))];
  return [...demand, ...(await renewalDemand(client, query))];
}

const doorsOf = `door d JOIN site s ON s.company_id = d.company_id AND s.id = d.site_id AND s.archived_at IS NULL
  AND d.state <> 'decommissioned' AND ($2::uuid[] IS NULL OR d.site_id = ANY ($2::uuid[]))`;
const openOrder = `o.state IN ('planned', 'released', 'started')`;

type Row = Omit<NamedDemand, 'key' | 'kind' | 'intervalDays' | 'grade' | 'gain'>;

async function dueDemand(client: pg.ClientBase, { companyId, siteIds, fromOn, horizonDays }: DemandQuery): Promise<NamedDemand[]> {
  const { rows } = await client.query<Row & { safety: boolean; intervalDays: number | null }>(
    `SELECT d.site_id AS "siteId", d.id AS "doorId", d.name AS "doorName", t.name AS title, t.id AS "taskId", NULL AS "fittedPartId",
       o.id AS "workOrderId", u.safety, coalesce(o.minutes, t.minutes) AS minutes, coalesce(o.skills, t.skills, '{}') AS skills,
       coalesce(o.parts, t.parts, '{}') AS parts, u.earliest_on::text AS "earliestOn", u.due_on::text AS "dueOn", u.latest_on::text AS "latestOn",
       u.due_on - (u.why -> 'basis' ->> 'on')::date AS "intervalDays"
     FROM due_item u JOIN ${doorsOf} ON d.company_id = u.company_id AND d.id = u.door_id
     JOIN task t ON t.company_id = u.company_id AND t.id = u.task_id AND t.archived_at IS NULL
     LEFT JOIN LATERAL (SELECT o.id, o.minutes, o.skills, o.parts FROM work_order o WHERE o.company_id = u.company_id AND o.door_id = u.door_id
       AND o.task_id = u.task_id AND ${openOrder} ORDER BY o.number LIMIT 1) o ON true
     WHERE u.company_id = $1 AND (u.due_on <= $3::date OR u.earliest_on <= $3::date)`,
    [companyId, siteIds, dateAfter(fromOn, horizonDays)],
  );
  return rows.map(({ safety, intervalDays, ...row }) => ({
    ...row, key: `due:${row.doorId}:${row.taskId}`, kind: safety ? 'safety' : 'due', ...(intervalDays !== null && intervalDays > 0 ? { intervalDays } : {}),
  }));
}

async function orderDemand(client: pg.ClientBase, { companyId, siteIds, fromOn }: DemandQuery): Promise<NamedDemand[]> {
  const { rows } = await client.query<Row & { grade: FindingGrade | null; wantedOn: string | null }>(
    `SELECT d.site_id AS "siteId", d.id AS "doorId", d.name AS "doorName", o.title, o.task_id AS "taskId", NULL AS "fittedPartId",
       o.id AS "workOrderId", o.minutes, o.skills, o.parts, o.planned_on::text AS "wantedOn",
       (SELECT max(f.severity)::text FROM finding f WHERE f.company_id = o.company_id AND f.corrective_id = o.id AND f.cleared_at IS NULL) AS grade
     FROM work_order o JOIN ${doorsOf} ON d.company_id = o.company_id AND d.id = o.door_id
     WHERE o.company_id = $1 AND ${openOrder}
       AND NOT EXISTS (SELECT FROM due_item u WHERE u.company_id = o.company_id AND u.door_id = o.door_id AND u.task_id = o.task_id)`,
    [companyId, siteIds],
  );
  return rows.map(({ grade, wantedOn, ...row }) => ({
    ...row, key: `order:${row.workOrderId}`, kind: grade === null ? 'order' : 'finding', ...(grade === null ? {} : { grade }),
    // An order without a date is wanted now.
    earliestOn: null, dueOn: wantedOn ?? fromOn, latestOn: null,
  }));
}

async function findingDemand(client: pg.ClientBase, { companyId, siteIds }: DemandQuery): Promise<NamedDemand[]> {
  const { rows } = await client.query<{ siteId: string; doorId: string; doorName: string; title: string; id: string; grade: FindingGrade; kind: string | null; seenOn: string }>(
    `SELECT d.site_id AS "siteId", d.id AS "doorId", d.name AS "doorName", left(f.text, 200) AS title, f.id, f.severity::text AS grade, p.kind,
       (f.found_at AT TIME ZONE s.time_zone)::date::text AS "seenOn"
     FROM finding f JOIN ${doorsOf} ON d.company_id = f.company_id AND d.id = f.door_id
     LEFT JOIN position p ON p.company_id = f.company_id AND p.id = f.position_id
     LEFT JOIN work_order o ON o.company_id = f.company_id AND o.id = f.corrective_id AND ${openOrder}
     WHERE f.company_id = $1 AND f.cleared_at IS NULL AND o.id IS NULL`,
    [companyId, siteIds],
  );
  return rows.map(({ id, kind, grade, seenOn, ...row }) => ({
    ...row, key: `finding:${id}`, kind: 'finding', grade, minutes: FINDING_MINUTES, skills: [], parts: kind === null ? [] : [kind],
    earliestOn: null, dueOn: dateAfter(seenOn, FINDING_DAYS[grade]), latestOn: null, taskId: null, fittedPartId: null, workOrderId: null,
  }));
}

/** Sound parts are hardly worth replacing; asking the engine of each would take most of a plan's making. */
async function renewalDemand(client: pg.ClientBase, { companyId, siteIds, now }: DemandQuery): Promise<NamedDemand[]> {
  const { rows } = await client.query<{ siteId: string; doorId: string; doorName: string; parts: { id: string; name: string; kind: string }[] }>(
    `SELECT d.site_id AS "siteId", d.id AS "doorId", d.name AS "doorName", jsonb_agg(jsonb_build_object('id', f.id, 'name', p.name, 'kind', p.kind)) AS parts
     FROM part_outlook l JOIN ${doorsOf} ON d.company_id = l.company_id AND d.id = l.door_id
     JOIN fitted_part f ON f.company_id = l.company_id AND f.id = l.fitted_part_id AND f.removed_at IS NULL
     JOIN position p ON p.company_id = f.company_id AND p.id = f.position_id AND p.planned_cost IS NOT NULL
     WHERE l.company_id = $1 AND l.condition IN ('wearing', 'worn')
       AND NOT EXISTS (SELECT FROM work_order o WHERE o.company_id = l.company_id AND o.door_id = l.door_id AND ${openOrder} AND p.kind = ANY (o.parts))
     GROUP BY d.site_id, d.id, d.name ORDER BY d.id`,
    [companyId, siteIds],
  );
  const demand: NamedDemand[] = [];
  for (const { parts, ...door } of rows) {
    const renewals = await doorRenewals(client, companyId, door.doorId, now);
    for (const { fittedPartId, visit } of renewals?.items ?? []) {
      const part = parts.find(({ id }) => id === fittedPartId);
      if (visit.decision !== 'replace' || part === undefined) continue;
      demand.push({
        ...door, key: `renewal:${fittedPartId}`, kind: 'renewal', title: part.name, minutes: RENEWAL_MINUTES, skills: [], parts: [part.kind],
        earliestOn: null, dueOn: null, latestOn: null, gain: visit.riskCost - visit.lifeCost, taskId: null, fittedPartId, workOrderId: null,
      });
    }
  }
  return demand;
}
