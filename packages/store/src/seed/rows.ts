import type { CompanyDb } from '../context.js';
import { runSql } from '../sqlRunner.js';

type Cell = string | number | boolean | null;

/** Columns of a table with their types; the company is added to each row. */
export type Columns = Readonly<Record<string, string>>;

/** Gathers rows of one table and writes them in one statement by UNNEST. */
export class RowWriter<Names extends Columns> {
  private readonly names: string[];
  private readonly values: Cell[][];
  private readonly sql: string;
  written = 0;

  constructor(
    private readonly db: CompanyDb,
    private readonly companyId: string,
    table: string,
    columns: Names,
  ) {
    this.names = Object.keys(columns);
    this.values = this.names.map(() => []);
    const arrays = this.names.map((_, index) => `$${index + 2}::text[]`);
    const cast = this.names.map((name) => `r.${name}::${columns[name]!}`);
    this.sql = `WITH added AS (INSERT INTO ${table} (company_id, ${this.names.join(', ')})
      SELECT $1::uuid, ${cast.join(', ')} FROM unnest(${arrays.join(', ')}) AS r(${this.names.join(', ')}) RETURNING 1)
      SELECT count(*)::int AS n FROM added`;
  }

  /** Rows gathered and not written yet. */
  get waiting(): number {
    return this.values[0]!.length;
  }

  add(row: { [Name in keyof Names]: Cell }): void {
    for (const [index, name] of this.names.entries()) this.values[index]!.push(row[name]!);
  }

  async flush(): Promise<void> {
    if (this.waiting === 0) return;
    const arrays = this.values.map((column) => column.map((cell) => (cell === null ? null : String(cell))));
    const [answer] = await runSql<{ n: number }>(this.db, this.sql, [this.companyId, ...arrays]);
    this.written += answer!.n;
    for (const column of this.values) column.length = 0;
  }
}
