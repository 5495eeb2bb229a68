import type { LifeRating } from '@lintel/engine';
import type pg from 'pg';
import { loadCompletions, loadTasks } from '../upkeep/projectUpkeep.js';
import { loadLearned } from '../wear/learnedModels.js';
import type { LearnedModels } from '../wear/learnedModels.js';
import { loadParts, loadRatings } from '../wear/projectWear.js';
import { loadReadings } from './projectReadings.js';
import { addTo, arrayLiteral } from './projectRows.js';
import type { LoadedDoor, LoadedOverrule, LoadedTask } from './projectTypes.js';

export type { LoadedDoor } from './projectTypes.js';

/** What the doors of a company share: loaded once a run. */
export interface Catalogue {
  /** Life rating by position. */
  ratings: ReadonlyMap<string, LifeRating>;
  /** What was learned of the lives of parts, where anything was. */
  learned: LearnedModels;
  /** Tasks of the plans in force, by door type. */
  tasks: ReadonlyMap<string, LoadedTask[]>;
}

export async function loadCatalogue(client: pg.ClientBase, companyId: string): Promise<Catalogue> {
  return {
    ratings: await loadRatings(client, companyId),
    learned: await loadLearned(client, companyId),
    tasks: await loadTasks(client, companyId),
  };
}

/**
 * Loads doors for projection and locks their rows, in the order of their ids, until the transaction ends: of two
 * projections of one door the later one waits, and sees all that the earlier one saw. Ids that are not there are left out.
 */
export async function loadDoors(
  client: pg.ClientBase,
  companyId: string,
  doorIds: readonly string[],
  catalogue: Catalogue,
  now: Date,
): Promise<LoadedDoor[]> {
  const { rows } = await client.query(
    `SELECT d.id, d.site_id AS "siteId", d.door_type_id AS "doorTypeId", d.installed_on::text AS "installedOn",
       d.state = 'decommissioned' AS decommissioned, s.time_zone AS "timeZone", s.regime_months AS "regimeMonths",
       t.min_cycle_seconds::float8 AS "minCycleSeconds",
       coalesce(least(zf.temperature_class, zt.temperature_class)::text, 'unknown') AS climate
     FROM door d JOIN site s ON s.company_id = d.company_id AND s.id = d.site_id
     JOIN door_type t ON t.company_id = d.company_id AND t.id = d.door_type_id
     LEFT JOIN zone zf ON zf.company_id = d.company_id AND zf.id = d.from_zone_id
     LEFT JOIN zone zt ON zt.company_id = d.company_id AND zt.id = d.to_zone_id
     WHERE d.company_id = $1::uuid AND d.id = ANY ($2::uuid[]) ORDER BY d.id FOR NO KEY UPDATE OF d`,
    [companyId, arrayLiteral(doorIds)],
  );
  const ids = rows.map((row) => row.id as string);
  const readings = await loadReadings(client, companyId, ids);
  const counters = await loadCounters(client, companyId, ids);
  const overrules = await loadOverrules(client, companyId, ids);
  const parts = await loadParts(client, companyId, rows, catalogue);
  const completions = await loadCompletions(client, companyId, ids, now);
  return rows.map((row) => ({
    ...row,
    readings: readings.get(row.id) ?? [],
    counters: counters.get(row.id) ?? [],
    overrules: overrules.get(row.id) ?? [],
    parts: parts.get(row.id) ?? [],
    tasks: catalogue.tasks.get(row.doorTypeId) ?? [],
    completions: completions.get(row.id) ?? new Map(),
  }));
}

export async function loadCounters(client: pg.ClientBase, companyId: string, doorIds: string[]): Promise<Map<string, LoadedDoor['counters']>> {
  const { rows } = await client.query(
    `SELECT door_id AS "doorId", id, date_part('epoch', fitted_at) * 1000 AS "from", date_part('epoch', removed_at) * 1000 AS "to",
       modulus::float8 AS modulus, start_cycles::float8 AS "startCycles", start_value::float8 AS "startValue"
     FROM counter WHERE company_id = $1::uuid AND door_id = ANY ($2::uuid[]) ORDER BY door_id, fitted_at, id`,
    [companyId, arrayLiteral(doorIds)],
  );
  const byDoor = new Map<string, LoadedDoor['counters']>();
  for (const { doorId, id, ...span } of rows) addTo(byDoor, doorId, { id, span });
  return byDoor;
}

export async function loadOverrules(client: pg.ClientBase, companyId: string, doorIds: string[]): Promise<Map<string, LoadedOverrule[]>> {
  const { rows } = await client.query(
    `SELECT o.door_id AS "doorId", r.counter_id AS "counterId", date_part('epoch', r.at) * 1000 AS at, r.value::float8 AS value, o.use
     FROM reading_overrule o JOIN reading r ON r.company_id = o.company_id AND r.door_id = o.door_id AND r.id = o.reading_id
     WHERE o.company_id = $1::uuid AND o.door_id = ANY ($2::uuid[])`,
    [companyId, arrayLiteral(doorIds)],
  );
  const byDoor = new Map<string, LoadedOverrule[]>();
  for (const { doorId, ...overrule } of rows) addTo(byDoor, doorId, overrule);
  return byDoor;
}
