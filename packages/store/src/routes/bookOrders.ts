import type { WorkOrderCreate } from '@lintel/contract';
import type pg from 'pg';
import type { CompanyContext } from '../context.js';
import { createOrdersIn, planOrders, type PlannedOrder } from '../work/index.js';

interface ItemRow {
  visitId: string;
  place: number;
  key: string;
  kind: string;
  doorId: string;
  title: string;
  taskId: string | null;
  workOrderId: string | null;
  minutes: number;
  parts: string[];
  technicianId: string;
  plannedOn: string;
  plannedStart: string;
}

/**
 * Sees to it that all work of a plan's visits has an order, with its technician, date and time: one after the other within a
 * visit. What had no order gets one, and the visits name it. @returns how many orders were planned or made.
 */
export async function bookOrders(client: pg.ClientBase, context: CompanyContext, planId: string): Promise<number> {
  const { rows } = await client.query<ItemRow>(
    `SELECT v.id AS "visitId", i.place::int - 1 AS place, i.item ->> 'key' AS key, i.item ->> 'kind' AS kind, (i.item ->> 'doorId') AS "doorId",
       i.item ->> 'title' AS title, i.item ->> 'taskId' AS "taskId", i.item ->> 'workOrderId' AS "workOrderId", (i.item ->> 'minutes')::float8 AS minutes,
       ARRAY(SELECT jsonb_array_elements_text(i.item -> 'parts')) AS parts, v.technician_id AS "technicianId",
       (v.start_at AT TIME ZONE s.time_zone)::date::text AS "plannedOn",
       to_char((v.start_at + make_interval(secs => 60 * (sum((i.item ->> 'minutes')::float8) OVER (PARTITION BY v.id ORDER BY i.place) - (i.item ->> 'minutes')::float8)))
         AT TIME ZONE 'UTC', 'YYYY-MM-DD"T"HH24:MI:SS"Z"') AS "plannedStart"
     FROM route_visit v JOIN site s ON s.company_id = v.company_id AND s.id = v.site_id
     CROSS JOIN LATERAL jsonb_array_elements(v.items) WITH ORDINALITY AS i(item, place)
     WHERE v.company_id = $1 AND v.plan_id = $2 AND v.technician_id IS NOT NULL AND v.started_at IS NULL ORDER BY v.start_at, v.id, i.place`,
    [context.companyId, planId],
  );
  const wanting = rows.filter(({ workOrderId }) => workOrderId === null);
  const made = await createOrdersIn(client, context, wanting.map(orderOf));
  const named = wanting.flatMap((row, index) => {
    const result = made[index]!;
    return 'id' in result ? [{ ...row, workOrderId: result.id }] : [];
  });
  await nameOrders(client, context.companyId, named);
  const planned = rows.flatMap((row): PlannedOrder[] => (row.workOrderId === null ? [] : [{ ...row, orderId: row.workOrderId }]));
  return (await planOrders(client, context, planned)) + named.length;
}

function orderOf({ key, kind, doorId, title, taskId, minutes, parts, technicianId, plannedOn, plannedStart }: ItemRow): WorkOrderCreate {
  const planned = { technicianId, plannedOn, plannedStart };
  if (kind === 'finding') return { findingId: key.slice(key.indexOf(':') + 1), ...planned };
  if (taskId !== null) return { doorId, taskId, ...planned };
  return { doorId, kind: 'preventive', title, minutes: Math.ceil(minutes), parts: parts as WorkOrderCreate['parts'], ...planned };
}

/** Work that has an order now is known by it, so that the next plan finds it again. */
async function nameOrders(client: pg.ClientBase, companyId: string, named: readonly ItemRow[]): Promise<void> {
  for (const { visitId, place, key, taskId, workOrderId } of named) {
    await client.query(
      `UPDATE route_visit SET items = jsonb_set(jsonb_set(items, ARRAY[$3::text, 'workOrderId'], to_jsonb($4::text)), ARRAY[$3::text, 'key'], to_jsonb($5::text))
       WHERE company_id = $1 AND id = $2`,
      [companyId, visitId, String(place), workOrderId, taskId === null ? `order:${workOrderId}` : key],
    );
  }
}
