import type { CivilDate } from '@lintel/engine';
import { newId } from '../context.js';
import type { CompanyContext, Store } from '../context.js';
import { writeLedger } from '../ledger/writeLedger.js';

interface Overdue {
  doorId: string;
  taskId: string;
  latestOn: string;
}

/**
 * Notes the safety inspections of a site whose latest date lies before a day in its calendar: each once, with an entry in the
 * ledger, however often and by however many at once it is asked. Doors out of service are noted too; decommissioned ones are not.
 * @returns how many were noted now.
 */
export async function noteOverdueInspections(store: Store, context: CompanyContext, siteId: string, on: CivilDate): Promise<number> {
  return store.withCompanySql(context, async (client) => {
    const { rows: overdue } = await client.query<Overdue>(
      `SELECT i.door_id AS "doorId", i.task_id AS "taskId", i.latest_on::text AS "latestOn"
       FROM due_item i JOIN door d ON d.company_id = i.company_id AND d.id = i.door_id
       WHERE i.company_id = $1 AND d.site_id = $2 AND d.state <> 'decommissioned' AND i.safety AND i.latest_on < $3::date
         AND NOT EXISTS (SELECT FROM overdue_notice n WHERE n.company_id = i.company_id AND n.door_id = i.door_id
           AND n.task_id = i.task_id AND n.latest_on = i.latest_on)
       ORDER BY i.door_id, i.task_id`,
      [context.companyId, siteId, on],
    );
    const { rows: noted } = await client.query<Overdue & { id: string }>(
      `INSERT INTO overdue_notice (company_id, id, door_id, task_id, latest_on)
       SELECT $1::uuid, * FROM unnest($2::uuid[], $3::uuid[], $4::uuid[], $5::date[])
       ON CONFLICT (company_id, door_id, task_id, latest_on) DO NOTHING
       RETURNING id, door_id AS "doorId", task_id AS "taskId", latest_on::text AS "latestOn"`,
      [
        context.companyId,
        overdue.map(() => newId()),
        overdue.map((item) => item.doorId),
        overdue.map((item) => item.taskId),
        overdue.map((item) => item.latestOn),
      ],
    );
    for (const { doorId, taskId, latestOn } of noted) {
      await writeLedger(client, context, {
        action: 'inspection-overdue',
        subjectKind: 'door',
        subjectId: doorId,
        detail: { taskId, latestOn, seenOn: on },
      });
    }
    return noted.length;
  });
}
