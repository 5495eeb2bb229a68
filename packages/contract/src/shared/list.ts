import { z } from 'zod';
import { civilDate, instantGiven } from './fields.js';

/** What a list can be asked: the same words in the query, in the SQL builder and in the admin's filters. */
export interface ListWords {
  /** Filter by equality: field → schema of one value as text; a comma between values means any of them. */
  filters: Record<string, z.ZodType<string | number | boolean>>;
  /** Fields that can be bounded: `dueOn` gives `dueOnFrom` and `dueOnTo`, both included. */
  ranges: Record<string, 'date' | 'instant'>;
  sorts: readonly string[];
  /** As in the query: `-dueOn,name`. */
  defaultSort: string;
  /** Whether `q` searches names and serials. */
  search: boolean;
}

export interface SortWord {
  field: string;
  descending: boolean;
}

export type FilterValue = string | number | boolean;

/** A list query, understood. */
export interface ListRequest {
  limit: number;
  offset: number;
  count: boolean;
  sort: SortWord[];
  search: string | null;
  filters: Record<string, FilterValue[]>;
  ranges: { field: string; from: string | null; to: string | null }[];
}

export const pageLimit = 100;

/** `true` or `false` in a query. */
export const flag = z.enum(['true', 'false']).transform((word) => word === 'true');

const mostValues = 100;

function anyOf(one: z.ZodType<FilterValue>) {
  return z.string().max(8000).transform((given, context): FilterValue[] => {
    const words = given.split(',');
    const values = words.slice(0, mostValues).map((word) => one.safeParse(word));
    const wrong = values.find((value) => !value.success);
    if (words.length > mostValues) context.addIssue(`at most ${mostValues} values`);
    if (wrong?.error) context.addIssue(wrong.error.issues[0]?.message ?? 'is not valid');
    return values.flatMap((value) => (value.success ? [value.data] : []));
  });
}

function sortBy(words: ListWords) {
  return z.string().max(300).default(words.defaultSort).transform((given, context) =>
    given.split(',').map((word): SortWord => {
      const descending = word.startsWith('-');
      const field = descending ? word.slice(1) : word;
      if (!words.sorts.includes(field)) context.addIssue(`cannot sort by '${field}'; can by ${words.sorts.join(', ')}`);
      return { field, descending };
    }),
  ).describe(`Fields to sort by, comma between, '-' before one for descending: ${words.sorts.join(', ')}`);
}

/** The schema of a list's query: bounded, unknown parameters refused, answered as a `ListRequest`. */
export function listQuery(words: ListWords) {
  const shape: Record<string, z.ZodType> = {
    limit: z.coerce.number<string>().int().min(1).max(pageLimit).default(25),
    offset: z.coerce.number<string>().int().min(0).max(10_000_000).default(0),
    count: flag.default(false).describe('Whether to count the whole list into `total`'),
    sort: sortBy(words),
  };
  if (words.search) shape['q'] = z.string().trim().max(100).optional().describe('Search in names and serials');
  for (const [field, one] of Object.entries(words.filters)) shape[field] = anyOf(one).optional();
  for (const [field, kind] of Object.entries(words.ranges)) {
    const bound = kind === 'date' ? civilDate : instantGiven;
    shape[`${field}From`] = bound.optional();
    shape[`${field}To`] = bound.optional();
  }
  return z.strictObject(shape).transform((query): ListRequest => understood(words, query));
}

function understood(words: ListWords, query: Record<string, unknown>): ListRequest {
  const filters: Record<string, FilterValue[]> = {};
  for (const field of Object.keys(words.filters)) {
    const values = query[field] as FilterValue[] | undefined;
    if (values !== undefined) filters[field] = values;
  }
  const ranges = Object.keys(words.ranges).flatMap((field) => {
    const from = (query[`${field}From`] as string | undefined) ?? null;
    const to = (query[`${field}To`] as string | undefined) ?? null;
    return from === null && to === null ? [] : [{ field, from, to }];
  });
  const search = query['q'] as string | undefined;
  return {
    limit: query['limit'] as number,
    offset: query['offset'] as number,
    count: query['count'] as boolean,
    sort: query['sort'] as SortWord[],
    search: search === undefined || search === '' ? null : search,
    filters,
    ranges,
  };
}

/** A page of a list; `total` only when asked for with `count=true`. */
export function page<T extends z.ZodType>(item: T) {
  return z.object({ items: z.array(item), hasNext: z.boolean(), total: z.int().min(0).nullable() });
}

export interface Page<T> {
  items: T[];
  hasNext: boolean;
  total: number | null;
}
