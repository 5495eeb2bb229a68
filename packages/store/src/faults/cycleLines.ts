import { setImmediate } from 'node:timers/promises';
import { cyclesAtInstant, type DutyModel } from '@lintel/engine';
import type pg from 'pg';
import { historyOf } from '../duty/projectDuty.js';
import { loadCounters, loadOverrules } from '../duty/projectLoad.js';
import { loadReadings } from '../duty/projectReadings.js';

/** Lifetime cycles of a door at an instant in milliseconds. */
export type CycleLine = (at: number) => number;

/**
 * For each of some doors its lifetime cycles at any instant, from all its readings and the duty model of its last projection. Doors
 * without a projection are left out: nothing is known of their cycles yet.
 */
export async function loadCycleLines(
  client: pg.ClientBase,
  companyId: string,
  doorIds: readonly string[],
  now: Date,
): Promise<Map<string, CycleLine>> {
  const { rows } = await client.query<{ id: string; minCycleSeconds: number; installedMs: number; model: DutyModel }>(
    `SELECT d.id, t.min_cycle_seconds::float8 AS "minCycleSeconds", y.model,
       date_part('epoch', d.installed_on::timestamp) * 1000 AS "installedMs"
     FROM door d JOIN door_type t ON t.company_id = d.company_id AND t.id = d.door_type_id
     JOIN door_duty y ON y.company_id = d.company_id AND y.door_id = d.id
     WHERE d.company_id = $1::uuid AND d.id = ANY ($2::uuid[])`,
    [companyId, doorIds],
  );
  const ids = rows.map(({ id }) => id);
  const readings = await loadReadings(client, companyId, ids);
  const counters = await loadCounters(client, companyId, ids);
  const overrules = await loadOverrules(client, companyId, ids);
  const lines = new Map<string, CycleLine>();
  for (const { id, minCycleSeconds, installedMs, model } of rows) {
    const counted = {
      id, minCycleSeconds, readings: readings.get(id) ?? [], counters: counters.get(id) ?? [], overrules: overrules.get(id) ?? [],
    };
    const { history } = historyOf(counted, now);
    lines.set(id, (at) => cyclesAtInstant(history, model, installedMs, at));
    // Some milliseconds a door: others who ask the same process get their turn in between.
    await setImmediate();
  }
  return lines;
}
