import type pg from 'pg';
import type { CompanyContext, Store } from '../context.js';
import { computeChunk, writeChunk } from './projectChunk.js';
import type { ProjectionFailure } from './projectChunk.js';
import { loadCatalogue, loadDoors } from './projectLoad.js';
import type { Catalogue } from './projectLoad.js';
import { loadEvidence } from './projectPeers.js';
import type { PeerGroups } from './projectPeers.js';

export type { ProjectionFailure } from './projectChunk.js';

export interface ProjectionOptions {
  /** The instant as of which everything is computed. */
  now: Date;
  onProgress?: (done: number, total: number) => void | Promise<void>;
  /** Asked before each chunk; true ends the run early. */
  isCancelled?: () => boolean | Promise<boolean>;
  /** What else is to be done in the transaction of each chunk, e.g. to note that it is done. */
  alsoWrite?: (client: pg.ClientBase) => Promise<void>;
}

export interface ProjectionResult {
  projected: number;
  /** Doors that are decommissioned: what was said of their future is removed. */
  decommissioned: number;
  /** Doors that could not be computed; what was known of them before is left as it was. */
  failed: ProjectionFailure[];
  cancelled: boolean;
}

/** Doors by id, or all from one id to another, both included. */
export type DoorSelection = { doorIds: readonly string[] } | { from: string; to: string };

/** Doors in one transaction: enough that its statements are set-based, few enough that its locks are short. */
const CHUNK_DOORS = 500;
/** While this process computes one chunk, PostgreSQL reads and writes for another. */
const CHUNKS_AT_ONCE = 3;

interface Run {
  store: Store;
  context: CompanyContext;
  options: ProjectionOptions;
  catalogue: Catalogue;
  /** What the last projection knew of all doors' rates. */
  last: PeerGroups;
  result: ProjectionResult;
}

/** Projects some doors of a company: duty, parts, due items. Safe to run twice, and twice at once. */
export async function projectDoors(
  store: Store,
  context: CompanyContext,
  selection: DoorSelection,
  options: ProjectionOptions,
): Promise<ProjectionResult> {
  const doorIds = 'doorIds' in selection ? [...new Set(selection.doorIds)].sort() : await doorIdsOf(store, context, selection);
  const run: Run = await store.withCompanySql(context, async (client) => ({
    store,
    context,
    options,
    catalogue: await loadCatalogue(client, context.companyId),
    last: await loadEvidence(client, context.companyId),
    result: { projected: 0, decommissioned: 0, failed: [], cancelled: false },
  }));
  const { result } = run;
  let next = 0;
  const work = async (): Promise<void> => {
    while (next < doorIds.length && !result.cancelled) {
      const chunk = doorIds.slice(next, next + CHUNK_DOORS);
      next += CHUNK_DOORS;
      if ((await options.isCancelled?.()) === true) result.cancelled = true;
      if (result.cancelled) return;
      await projectChunk(run, chunk);
      await options.onProgress?.(result.projected + result.decommissioned + result.failed.length, doorIds.length);
    }
  };
  await Promise.all(Array.from({ length: CHUNKS_AT_ONCE }, work));
  result.failed.sort((a, b) => (a.doorId < b.doorId ? -1 : 1));
  return result;
}

/** Projects all doors of a company. */
export function projectCompany(store: Store, context: CompanyContext, options: ProjectionOptions): Promise<ProjectionResult> {
  const all = { from: '00000000-0000-0000-0000-000000000000', to: 'ffffffff-ffff-ffff-ffff-ffffffffffff' };
  return projectDoors(store, context, all, options);
}

/** The company's doors cut into ranges of ids, for jobs of their own. */
export async function doorRanges(
  store: Store,
  context: CompanyContext,
  doorsEach: number,
): Promise<{ from: string; to: string; doors: number }[]> {
  const { rows } = await store.withCompanySql(context, (client) =>
    client.query<{ from: string; to: string; doors: number }>(
      `SELECT min(id::text) AS "from", max(id::text) AS "to", count(*)::int AS doors
       FROM (SELECT id, (row_number() OVER (ORDER BY id) - 1) / $2::int AS chunk FROM door WHERE company_id = $1::uuid) d
       GROUP BY chunk ORDER BY chunk`,
      [context.companyId, doorsEach],
    ),
  );
  return rows;
}

async function doorIdsOf(store: Store, context: CompanyContext, { from, to }: { from: string; to: string }): Promise<string[]> {
  const { rows } = await store.withCompanySql(context, (client) =>
    client.query<{ id: string }>('SELECT id FROM door WHERE company_id = $1::uuid AND id BETWEEN $2::uuid AND $3::uuid ORDER BY id', [
      context.companyId,
      from,
      to,
    ]),
  );
  return rows.map((row) => row.id);
}

/** SQLSTATE classes of a row that PostgreSQL will not take: data exception, constraint. */
const ROW_REFUSED = /^(22|23)/;

/** One chunk in one transaction. If a row of it is refused, its halves are tried, down to the door to blame. */
async function projectChunk(run: Run, doorIds: readonly string[]): Promise<void> {
  const { store, context, options, result } = run;
  try {
    const chunk = await store.withCompanySql(context, async (client) => {
      const doors = await loadDoors(client, context.companyId, doorIds, run.catalogue, options.now);
      const computed = await computeChunk(doors, run.last, options.now);
      await writeChunk(client, context.companyId, computed);
      await options.alsoWrite?.(client);
      return computed;
    });
    result.projected += chunk.doorIds.length;
    result.decommissioned += chunk.decommissioned.length;
    result.failed.push(...chunk.failed);
  } catch (error) {
    const code = (error as { code?: unknown }).code;
    if (typeof code !== 'string' || !ROW_REFUSED.test(code)) throw error;
    if (doorIds.length === 1) {
      result.failed.push({ doorId: doorIds[0]!, reason: (error as Error).message });
      return;
    }
    const middle = doorIds.length >> 1;
    await projectChunk(run, doorIds.slice(0, middle));
    await projectChunk(run, doorIds.slice(middle));
  }
}
