import type { CycleHistory } from '@lintel/engine';
import type pg from 'pg';
import { historyOf } from '../duty/projectDuty.js';
import { loadCounters, loadOverrules } from '../duty/projectLoad.js';
import { loadReadings } from '../duty/projectReadings.js';

/** Doors whose readings are in memory at once. */
const CHUNK_DOORS = 100;

/** The lifetime cycles of some doors over time, from all their readings as they are now; doors by id, with their shortest cycle. */
export async function historiesOf(
  client: pg.ClientBase,
  companyId: string,
  doors: ReadonlyMap<string, number>,
  now: Date,
): Promise<Map<string, CycleHistory>> {
  const histories = new Map<string, CycleHistory>();
  const ids = [...doors.keys()].sort();
  for (let from = 0; from < ids.length; from += CHUNK_DOORS) {
    const chunk = ids.slice(from, from + CHUNK_DOORS);
    const readings = await loadReadings(client, companyId, chunk);
    const counters = await loadCounters(client, companyId, chunk);
    const overrules = await loadOverrules(client, companyId, chunk);
    for (const id of chunk) {
      const counted = {
        id,
        minCycleSeconds: doors.get(id)!,
        readings: readings.get(id) ?? [],
        counters: counters.get(id) ?? [],
        overrules: overrules.get(id) ?? [],
      };
      histories.set(id, historyOf(counted, now).history);
    }
  }
  return histories;
}
