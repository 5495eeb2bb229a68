import type { PlanNotice, PlanRoute } from '@lintel/contract';
import { carriedParts, type CarriedPart } from '@lintel/engine';
import type pg from 'pg';

export interface RouteStock {
  technicianId: string;
  on: string;
  carry: CarriedPart[];
}

/** What each van must carry on each day of a plan, against what lies in it. */
export async function stockOfPlan(client: pg.ClientBase, companyId: string, planId: string): Promise<RouteStock[]> {
  const { rows: needs } = await client.query<{ technicianId: string; on: string; kind: string; needed: number }>(
    `SELECT v.technician_id AS "technicianId", v.on_date::text AS on, p.kind, sum(p.quantity)::int AS needed
     FROM route_visit v CROSS JOIN LATERAL jsonb_to_recordset(v.parts) AS p(kind text, quantity int)
     WHERE v.company_id = $1 AND v.plan_id = $2 AND v.technician_id IS NOT NULL GROUP BY 1, 2, 3 ORDER BY 1, 2, 3`,
    [companyId, planId],
  );
  const { rows: vans } = await client.query<{ technicianId: string; kinds: Record<string, number> }>(
    `SELECT s."technicianId", jsonb_object_agg(s.kind, s.quantity) AS kinds FROM (
       SELECT v.technician_id AS "technicianId", p.kind, sum(v.quantity)::int AS quantity FROM van_stock v
       JOIN stock_part p ON p.company_id = v.company_id AND p.id = v.part_id AND p.archived_at IS NULL WHERE v.company_id = $1 GROUP BY 1, 2) s
     GROUP BY 1`,
    [companyId],
  );
  const routes = new Map<string, { technicianId: string; on: string; parts: Record<string, number> }>();
  for (const { technicianId, on, kind, needed } of needs) {
    const key = `${technicianId}/${on}`;
    const route = routes.get(key) ?? { technicianId, on, parts: {} };
    route.parts[kind] = needed;
    routes.set(key, route);
  }
  const list = [...routes.values()];
  const carried = carriedParts(list, new Map(vans.map(({ technicianId, kinds }) => [technicianId, kinds])));
  return list.map(({ technicianId, on }, index) => ({ technicianId, on, carry: carried[index]! }));
}

/** A plan's notices with what its vans lack as things stand: stock changes while a plan is looked at, so that is never stored. */
export function withMissingStock(notices: readonly PlanNotice[], routes: readonly Pick<PlanRoute, 'carry'>[]): PlanNotice[] {
  const others = notices.filter(({ code }) => code !== 'stock-missing');
  const missing = routes.flatMap(({ carry }) => carry.filter((line) => line.missing > 0));
  const parts = missing.reduce((sum, line) => sum + line.missing, 0);
  return parts === 0 ? others : [...others, { code: 'stock-missing', facts: { parts, kinds: new Set(missing.map(({ kind }) => kind)).size } }];
}
