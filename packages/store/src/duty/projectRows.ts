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
  private readonly statement: string;

  /** @param keys the columns that, with the company, make a row the same one as before; the door's is among them. */
  constructor(
    private readonly table: string,
    keys: readonly string[],
    columns: Columns,
  ) {
    this.values = Object.keys(columns).map(() => []);
    this.statement = replacing(table, keys, columns);
  }

  /** One row, its values in the order of the columns. */
  add(...row: Value[]): void {
    if (row.length !== this.values.length) throw new Error(`${this.table} has ${this.values.length} columns, not ${row.length}`);
    for (let index = 0; index < row.length; index++) this.values[index]!.push(row[index]!);
  }

  /** Puts the batch in place of all rows that the table has of some doors. The caller holds the doors' rows locked, so nobody adds any meanwhile. */
  async replace(client: pg.ClientBase, companyId: string, doorIds: readonly string[]): Promise<void> {
    await client.query(this.statement, [companyId, arrayLiteral(doorIds), ...this.values.map(arrayLiteral)]);
  }
}

/**
 * Rows that stay are changed in place and not deleted and added anew: their keys stay as they are, so no foreign key is looked
 * up again, and where no index holds what changed PostgreSQL leaves the indexes alone (which is why the tables have room
 * on their pages and few indexes). Over a whole company that halves the writing.
 */
function replacing(table: string, keys: readonly string[], columns: Columns): string {
  const names = Object.keys(columns);
  const arrays = Object.values(columns).map((type, index) => `$${index + 3}::${type}[]`);
  const same = keys.map((key) => `t.${key} = g.${key}`).join(' AND ');
  const changed = names.filter((name) => !keys.includes(name)).map((name) => `${name} = g.${name}`);
  return `WITH given AS MATERIALIZED (SELECT * FROM unnest(${arrays.join(', ')}) AS g(${names.join(', ')})),
    gone AS (
      DELETE FROM ${table} t WHERE t.company_id = $1::uuid AND t.door_id = ANY ($2::uuid[])
        AND NOT EXISTS (SELECT FROM given g WHERE ${same})
    ),
    kept AS (UPDATE ${table} t SET ${changed.join(', ')} FROM given g
      WHERE t.company_id = $1::uuid AND t.door_id = ANY ($2::uuid[]) AND ${same})
    INSERT INTO ${table} (company_id, ${names.join(', ')}) SELECT $1::uuid, g.* FROM given g
      WHERE NOT EXISTS (SELECT FROM ${table} t WHERE t.company_id = $1::uuid AND t.door_id = ANY ($2::uuid[]) AND ${same})`;
}
