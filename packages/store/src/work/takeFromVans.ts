import type pg from 'pg';

export interface TakenPart {
  technicianId: string;
  /** The company's code of the part. */
  code: string;
  quantity: number;
}

/**
 * Takes what technicians used out of their vans. A code that the company does not stock, or that was not counted into the van,
 * changes nothing; a van never holds less than none, whatever was used: the next count puts it right.
 */
export async function takeFromVans(client: pg.ClientBase, companyId: string, taken: readonly TakenPart[]): Promise<void> {
  if (taken.length === 0) return;
  // Locked in the order of their ids, so that two who use parts at once do not wait for each other.
  await client.query(
    `WITH used AS (
       SELECT g."technicianId", p.id AS part_id, sum(g.quantity)::int AS quantity
       FROM jsonb_to_recordset($2::jsonb) AS g("technicianId" uuid, code text, quantity int)
       JOIN stock_part p ON p.company_id = $1::uuid AND p.code = g.code AND p.archived_at IS NULL GROUP BY 1, 2
     ), locked AS (
       SELECT v.id, u.quantity FROM van_stock v JOIN used u ON u."technicianId" = v.technician_id AND u.part_id = v.part_id
       WHERE v.company_id = $1::uuid ORDER BY v.id FOR UPDATE OF v
     )
     UPDATE van_stock v SET quantity = greatest(0, v.quantity - l.quantity), version = v.version + 1
     FROM locked l WHERE v.company_id = $1::uuid AND v.id = l.id`,
    [companyId, JSON.stringify(taken)],
  );
}
