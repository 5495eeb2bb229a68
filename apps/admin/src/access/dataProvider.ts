import type { DataProvider, GetListParams, RaRecord } from 'react-admin';
import { ask, query } from './http.js';
import type { Answer, Ask } from './http.js';

interface ListAnswer {
  items: RaRecord[];
  hasNext: boolean;
  total: number | null;
}

/** The usual verbs for react-admin, and plain `get` and `send` for what is no record: reports and deeds. */
export interface LintelDataProvider extends DataProvider {
  get<T>(path: string, signal?: AbortSignal): Promise<T>;
  send<T>(method: 'POST' | 'PUT' | 'PATCH' | 'DELETE', path: string, body?: unknown, ifMatch?: string): Promise<T>;
}

const mostPerPage = 100;

/** Filters whose value is empty are left out; everything else goes to the query as it is. */
function listPath(resource: string, { pagination, sort, filter, meta }: GetListParams): string {
  const { page = 1, perPage = 50 } = pagination ?? {};
  const limit = Math.min(perPage, mostPerPage);
  const field = sort?.field && sort.field !== 'id' ? `${sort.order === 'DESC' ? '-' : ''}${sort.field}` : undefined;
  return `/${resource}${query({ limit, offset: (page - 1) * limit, sort: field, count: meta?.count ? 'true' : undefined, ...filter })}`;
}

async function list(resource: string, params: GetListParams) {
  const asked: Ask = params.signal ? { signal: params.signal } : {};
  const { data } = await ask<ListAnswer>(listPath(resource, params), asked);
  return {
    data: data.items as never[],
    ...(data.total === null ? {} : { total: data.total }),
    pageInfo: { hasNextPage: data.hasNext, hasPreviousPage: (params.pagination?.page ?? 1) > 1 },
  };
}

async function many(resource: string, ids: readonly RaRecord['id'][]) {
  const chunks = Array.from({ length: Math.ceil(ids.length / mostPerPage) }, (_, index) =>
    ids.slice(index * mostPerPage, (index + 1) * mostPerPage),
  );
  const answers = await Promise.all(
    chunks.map((chunk) => ask<ListAnswer>(`/${resource}${query({ id: chunk, limit: mostPerPage })}`)),
  );
  return { data: answers.flatMap((answer) => answer.data.items) as never[] };
}

/** Only what differs is sent: a change to one field cannot undo a colleague's change to another. */
export function changedFields(data: Record<string, unknown>, before: Record<string, unknown>): Record<string, unknown> {
  return Object.fromEntries(
    Object.entries(data)
      .map(([key, value]) => [key, value === '' || value === undefined ? null : value] as const)
      .filter(([key, value]) => JSON.stringify(value) !== JSON.stringify(before[key] ?? null)),
  );
}

/** Empty fields of a new record are left out, so that the server's defaults apply. */
export function givenFields(data: Record<string, unknown>): Record<string, unknown> {
  return Object.fromEntries(Object.entries(data).filter(([, value]) => value !== '' && value !== undefined && value !== null));
}

export const etagOf = (version: unknown): string => `"${String(version)}"`;

export const dataProvider: LintelDataProvider = {
  supportAbortSignal: true,
  getList: (resource, params) => list(resource, params),
  getManyReference: (resource, { target, id, filter, ...params }) =>
    list(resource, { ...params, filter: { ...filter, [target]: id } }),
  getMany: (resource, { ids }) => many(resource, ids),
  getOne: async (resource, { id, signal }) => {
    const { data } = await ask<never>(`/${resource}/${encodeURIComponent(String(id))}`, signal ? { signal } : {});
    return { data };
  },
  create: async (resource, { data }) => {
    const answer = await ask<never>(`/${resource}`, { method: 'POST', body: givenFields(data as Record<string, unknown>) });
    return { data: answer.data };
  },
  update: async (resource, { id, data, previousData }) => {
    const body = changedFields(data as Record<string, unknown>, previousData as Record<string, unknown>);
    if (Object.keys(body).length === 0) return { data: previousData as never };
    const answer: Answer<never> = await ask(`/${resource}/${encodeURIComponent(String(id))}`, {
      method: 'PATCH',
      body,
      ifMatch: etagOf((previousData as RaRecord)['version']),
    });
    return { data: answer.data };
  },
  delete: async (resource, { id, previousData }) => {
    const ifMatch = previousData?.['version'] === undefined ? {} : { ifMatch: etagOf(previousData['version']) };
    await ask(`/${resource}/${encodeURIComponent(String(id))}`, { method: 'DELETE', ...ifMatch });
    return { data: (previousData ?? { id }) as never };
  },
  updateMany: async () => {
    throw new Error('Records are changed one by one, each against its own version.');
  },
  deleteMany: async () => {
    throw new Error('Records are archived one by one.');
  },
  get: async <T>(path: string, signal?: AbortSignal) => (await ask<T>(path, signal ? { signal } : {})).data,
  send: async <T>(method: string, path: string, body?: unknown, ifMatch?: string) =>
    (await ask<T>(path, { method, ...(body === undefined ? {} : { body }), ...(ifMatch === undefined ? {} : { ifMatch }) })).data,
};
