import type { FieldError, VanLoad, VanLoaded } from '@lintel/contract';
import type pg from 'pg';
import { newId, type CompanyContext } from '../context.js';
import { writeLedger } from '../ledger/writeLedger.js';

interface PartRow {
  id: string;
  code: string;
  inStore: number;
  inVan: number;
}

/** What a van may hold of a part, as the contract has it. */
const MOST = 10_000;

/**
 * Takes parts from the company's store into a technician's van, or back, all or none.
 * @returns what van and store have now, or what stands against it by field.
 */
export async function loadVan(client: pg.ClientBase, context: CompanyContext, { technicianId, parts }: VanLoad): Promise<VanLoaded | { errors: FieldError[] }> {
  const { companyId } = context;
  const known = await client.query('SELECT FROM technician WHERE company_id = $1 AND id = $2 AND archived_at IS NULL', [companyId, technicianId]);
  if (known.rowCount === 0) return { errors: [{ field: 'technicianId', message: 'there is no such technician here' }] };
  const rows = await lockParts(client, companyId, technicianId, parts.map(({ partId }) => partId));
  const errors = parts.flatMap(({ partId, quantity }, index) => refusalOf(rows.get(partId), quantity, `parts[${index}]`));
  if (errors.length > 0) return { errors };
  const loaded = parts.map(({ partId, quantity }) => {
    const { code, inVan, inStore } = rows.get(partId)!;
    return { partId, code, inVan: inVan + quantity, inStore: inStore - quantity };
  });
  await writeQuantities(client, companyId, technicianId, loaded);
  const detail = { technicianId, parts: parts.map(({ partId, quantity }) => ({ code: rows.get(partId)!.code, quantity })) };
  await writeLedger(client, context, { action: 'van-loaded', subjectKind: 'technician', subjectId: technicianId, detail });
  return { parts: loaded };
}

/** In the order of their ids, so that two who load at once do not wait for each other. */
async function lockParts(client: pg.ClientBase, companyId: string, technicianId: string, ids: readonly string[]): Promise<Map<string, PartRow>> {
  await client.query('SELECT FROM stock_part WHERE company_id = $1 AND id = ANY ($2::uuid[]) ORDER BY id FOR UPDATE', [companyId, ids]);
  await client.query('SELECT FROM van_stock WHERE company_id = $1 AND technician_id = $2 AND part_id = ANY ($3::uuid[]) ORDER BY part_id FOR UPDATE', [companyId, technicianId, ids]);
  const { rows } = await client.query<PartRow>(
    `SELECT p.id, p.code, p.in_store AS "inStore", coalesce(v.quantity, 0) AS "inVan" FROM stock_part p
     LEFT JOIN van_stock v ON v.company_id = p.company_id AND v.part_id = p.id AND v.technician_id = $2
     WHERE p.company_id = $1 AND p.archived_at IS NULL AND p.id = ANY ($3::uuid[])`,
    [companyId, technicianId, ids],
  );
  return new Map(rows.map((row) => [row.id, row]));
}

function refusalOf(part: PartRow | undefined, quantity: number, field: string): FieldError[] {
  if (part === undefined) return [{ field: `${field}.partId`, message: 'there is no such part here' }];
  if (quantity > part.inStore) return [{ field: `${field}.quantity`, message: `only ${part.inStore} of ${part.code} are in the store` }];
  if (-quantity > part.inVan) return [{ field: `${field}.quantity`, message: `only ${part.inVan} of ${part.code} are in the van` }];
  if (part.inVan + quantity > MOST || part.inStore - quantity > MOST) return [{ field: `${field}.quantity`, message: `more than ${MOST} of a part are not kept in one place` }];
  return [];
}

async function writeQuantities(client: pg.ClientBase, companyId: string, technicianId: string, loaded: VanLoaded['parts']): Promise<void> {
  await client.query(
    `UPDATE stock_part p SET in_store = l."inStore", version = p.version + 1 FROM jsonb_to_recordset($2::jsonb) AS l("partId" uuid, "inStore" int)
     WHERE p.company_id = $1 AND p.id = l."partId"`,
    [companyId, JSON.stringify(loaded)],
  );
  await client.query(
    `INSERT INTO van_stock (company_id, id, technician_id, part_id, quantity)
     SELECT $1, l.id, $2, l."partId", l."inVan" FROM jsonb_to_recordset($3::jsonb) AS l(id uuid, "partId" uuid, "inVan" int)
     ON CONFLICT (company_id, technician_id, part_id) DO UPDATE SET quantity = excluded.quantity, version = van_stock.version + 1`,
    [companyId, technicianId, JSON.stringify(loaded.map((line) => ({ ...line, id: newId() })))],
  );
}
