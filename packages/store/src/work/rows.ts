import type pg from 'pg';

/** A row by the names of its columns, each value as JSON has it. */
export type TableRow = Readonly<Record<string, unknown>>;

/** Adds rows of one table in one statement. Columns are those of the first row, the company is added to each. */
export async function insertRows(client: pg.ClientBase, companyId: string, table: string, rows: readonly TableRow[]): Promise<void> {
  if (rows.length === 0) return;
  const columns = ['company_id', ...Object.keys(rows[0]!)].join(', ');
  const given = rows.map((row) => ({ company_id: companyId, ...row }));
  await client.query(
    `INSERT INTO ${table} (${columns}) SELECT ${columns} FROM jsonb_populate_recordset(NULL::${table}, $1::jsonb)`,
    [JSON.stringify(given)],
  );
}

/** Changes rows of one table by their ids in one statement; columns are those of the first row. */
export async function updateRows(client: pg.ClientBase, companyId: string, table: string, rows: readonly (TableRow & { id: string })[]): Promise<void> {
  if (rows.length === 0) return;
  const changed = Object.keys(rows[0]!).filter((column) => column !== 'id').map((column) => `${column} = g.${column}`);
  await client.query(
    `UPDATE ${table} t SET ${changed.join(', ')} FROM jsonb_populate_recordset(NULL::${table}, $2::jsonb) g
     WHERE t.company_id = $1::uuid AND t.id = g.id`,
    [companyId, JSON.stringify(rows)],
  );
}
