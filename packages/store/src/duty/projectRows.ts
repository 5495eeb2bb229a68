import type pg from 'pg';

export type Value = string | number | boolean | null;

/** Appends to the list under a key. */
export function addTo<Value>(lists: Map<string, Value[]>, key: string, value: Value): void {
  const list = lists.get(key);
  if (list === undefined) lists.set(key, [value]);
  else list.push(value);
}

/** Names of columns with their SQL types. */
export type Columns = Readonly<Record<string, string>>;

/**
 * PostgreSQL's text form of an array. Made here because `pg` looks at every element of a number array again; over the
 * hundreds of thousands of numbers of a projection that shows. (And joined, not added up piece by piece: a rope of so many
 * pieces keeps the garbage collector busy.)
 */
export function arrayLiteral(values: readonly Value[]): string {
  return `{${values.map(elementText).join(',')}}`;
}

function elementText(value: Value): string | number | boolean {
  if (value === null) return 'NULL';
  return typeof value === 'string' && NEEDS_QUOTES.test(value) ? `"${value.replace(/["\\]/g, '\\$&')}"` : value;
}

/** All but plain words such as ids and dates; also the empty text and the word NULL. */
const NEEDS_QUOTES = /[^0-9A-Za-z_:.+-]|^$|^null$/i;

/** Rows of one table of one company, gathered column by column as they are computed, and written at once. */
export class RowBatch {
  private readonly values: Value[][];

  constructor(
    private readonly table: string,
    private readonly columns: Columns,
  ) {
    this.values = Object.keys(columns).map(() => []);
  }

  /** One row, its values in the order of the columns. */
  add(...row: Value[]): void {
    if (row.length !== this.values.length) throw new Error(`${this.table} has ${this.values.length} columns, not ${row.length}`);
    for (let index = 0; index < row.length; index++) this.values[index]!.push(row[index]!);
  }

  get size(): number {
    return this.values[0]!.length;
  }

  /**
   * Puts the batch in place of all rows that the table has of some doors. Deleted and added anew rather than merged: nearly
   * every row changes with every projection, and so it costs half. The caller holds the doors' rows locked, so nobody else adds
   * any meanwhile; nobody sees the table in between.
   */
  async replace(client: pg.ClientBase, companyId: string, doorIds: readonly string[]): Promise<void> {
    await client.query(`DELETE FROM ${this.table} WHERE company_id = $1::uuid AND door_id = ANY ($2::uuid[])`, [
      companyId,
      arrayLiteral(doorIds),
    ]);
    if (this.size === 0) return;
    const arrays = Object.values(this.columns).map((type, index) => `$${index + 2}::${type}[]`);
    await client.query(
      `INSERT INTO ${this.table} (company_id, ${Object.keys(this.columns).join(', ')}) SELECT $1::uuid, * FROM unnest(${arrays.join(', ')})`,
      [companyId, ...this.values.map(arrayLiteral)],
    );
  }
}
