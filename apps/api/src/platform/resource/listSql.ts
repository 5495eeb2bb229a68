import type { FilterValue, ListRequest } from '@lintel/contract';
import type { ReadDefinition } from './definition.js';

export interface Statement {
  text: string;
  values: unknown[];
}

export interface ListStatements {
  page: Statement;
  count: Statement;
}

/** A condition that is not the caller's to choose, e.g. the import whose refusals are listed. */
export type Fixed = Record<string, FilterValue>;

/**
 * The SQL of a list. Names come from the definition alone (a request can only name fields that the list's words know),
 * values go in as parameters. The ids of the page are found first, so that the joins which only fill in names are made for
 * 50 rows and not for all; equal rows are kept in order by id, so that paging neither skips nor repeats.
 */
export function listStatements(definition: ReadDefinition, request: ListRequest, fixed: Fixed = {}): ListStatements {
  const fields = Object.keys(definition.record.shape);
  const values: unknown[] = [];
  const where = conditions(definition, request, fixed, values);
  const order = orderBy(definition, request);
  const { view } = definition;
  const columns = fields.map(quoted).join(', ');
  const count = { text: `SELECT count(*)::int AS total FROM ${view}${where}`, values: [...values] };
  // The limit stands in the text: a plan made for any limit would not hurry to the first page.
  const bounds = ` LIMIT ${Math.trunc(request.limit) + 1}${request.offset === 0 ? '' : ` OFFSET ${bind(values, request.offset)}::int`}`;
  const text = definition.ties !== undefined
    ? `SELECT ${columns} FROM ${view}${where}${order}${bounds}`
    : `SELECT ${columns} FROM ${view} WHERE id = ANY (ARRAY(SELECT id FROM ${view}${where}${order}${bounds}))${order}`;
  return { page: { text, values }, count };
}

/** One row by its id. */
export function oneStatement(definition: ReadDefinition, id: string): Statement {
  const columns = Object.keys(definition.record.shape).map(quoted).join(', ');
  return { text: `SELECT ${columns} FROM ${definition.view} WHERE id = $1`, values: [id] };
}

function conditions(definition: ReadDefinition, request: ListRequest, fixed: Fixed, values: unknown[]): string {
  const all = Object.entries(fixed).map(([field, value]) => `${quoted(field)} = ${bind(values, value)}`);
  for (const [field, wanted] of Object.entries(request.filters)) all.push(anyOf(definition, field, wanted, values));
  for (const { field, from, to } of request.ranges) {
    if (from !== null) all.push(`${quoted(field)} >= ${bind(values, from)}`);
    if (to !== null) all.push(`${quoted(field)} <= ${bind(values, to)}`);
  }
  if (request.search !== null) {
    const pattern = bind(values, `%${request.search.replace(/[\\%_]/g, '\\$&')}%`);
    all.push(`(${definition.search.map((field) => `${quoted(field)} ILIKE ${pattern}`).join(' OR ')})`);
  }
  return all.length === 0 ? '' : ` WHERE ${all.join(' AND ')}`;
}

function anyOf(definition: ReadDefinition, field: string, wanted: readonly FilterValue[], values: unknown[]): string {
  const source = definition.filterBy?.[field];
  const column = quoted(source?.column ?? field);
  // Truth stands in the text: of `= $1` the planner would expect one row in two hundred.
  if (wanted.every((value) => typeof value === 'boolean')) return wanted.length === 1 ? `${column} = ${wanted[0]}` : `${column} IN (true, false)`;
  const words = source === undefined ? wanted : wanted.map((value) => String(value).replaceAll('-', '_'));
  const found = words.length === 1 ? `${column} = ${bind(values, words[0])}` : `${column} = ANY (${bind(values, words)})`;
  return source?.absent !== undefined && wanted.includes(source.absent) ? `(${found} OR ${column} IS NULL)` : found;
}

function orderBy(definition: ReadDefinition, { sort }: ListRequest): string {
  const words = sort.map(({ field, descending }) => {
    // Asked of a column that is never null, NULLS LAST would only keep PostgreSQL from reading an index backwards.
    const last = descending && definition.record.shape[field]?.safeParse(null).success === true ? ' NULLS LAST' : '';
    return `${quoted(field)} ${descending ? 'DESC' : 'ASC'}${last}`;
  });
  for (const tie of definition.ties ?? ['id']) words.push(quoted(tie));
  return ` ORDER BY ${words.join(', ')}`;
}

function bind(values: unknown[], value: unknown): string {
  values.push(value);
  return `$${values.length}`;
}

function quoted(name: string): string {
  // Names are ours; a quote in one would be a mistake of ours, not an attack, and must not pass for SQL.
  if (!/^[A-Za-z0-9_]+$/.test(name)) throw new Error(`not a column name: ${name}`);
  return `"${name}"`;
}
