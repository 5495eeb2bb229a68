import type pg from 'pg';
import type { VisitItem } from '@lintel/engine';

/** A visit of the plan that is made again. */
export interface KeptVisit {
  id: string;
  siteId: string;
  items: VisitItem[];
  minutes: number;
  skills: string[];
  technicianId: string;
  on: string;
  startAt: string;
  locked: boolean;
  startedAt: string | null;
  announced: boolean;
  /** Locked or started: stays where it is. */
  pinned: boolean;
}

/** The placed visits of a plan; started is what a technician began, whether the visit or an order of it says so. */
export async function loadKeptVisits(client: pg.ClientBase, companyId: string, planId: string): Promise<KeptVisit[]> {
  const { rows } = await client.query<KeptVisit>(
    `SELECT v.id, v.site_id AS "siteId", v.items, v.minutes, v.skills, v.technician_id AS "technicianId", v.on_date::text AS on,
       to_char(v.start_at AT TIME ZONE 'UTC', 'YYYY-MM-DD"T"HH24:MI:SS.MS"Z"') AS "startAt", v.locked,
       b.at AS "startedAt", v.published_at IS NOT NULL AS announced, v.locked OR b.at IS NOT NULL AS pinned
     FROM route_visit v
     LEFT JOIN LATERAL (SELECT to_char(least(v.started_at, min(o.started_at)) AT TIME ZONE 'UTC', 'YYYY-MM-DD"T"HH24:MI:SS.MS"Z"') AS at
       FROM jsonb_to_recordset(v.items) AS i("workOrderId" uuid)
       JOIN work_order o ON o.company_id = v.company_id AND o.id = i."workOrderId" AND o.technician_id = v.technician_id) b ON true
     WHERE v.company_id = $1 AND v.plan_id = $2 AND v.technician_id IS NOT NULL ORDER BY v.id`,
    [companyId, planId],
  );
  return rows;
}
