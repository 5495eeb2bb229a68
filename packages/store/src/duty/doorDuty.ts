import type { DoorDuty } from '@lintel/contract';
import { cyclesAhead, type CycleHistory, type DutyModel } from '@lintel/engine';
import type pg from 'pg';
import { historyOf, type CountedDoor } from './projectDuty.js';
import { loadCounters, loadOverrules } from './projectLoad.js';
import { loadReadings } from './projectReadings.js';

/** A chart shows no more; a door read every minute has a million. */
const mostPoints = 600;
const mostSetAside = 300;
/** Horizons of the forecast fan, days. */
const daysAhead = [0, 7, 14, 30, 60, 90, 120, 150, 180, 240, 300, 365];

/**
 * How hard one door works: its lifetime cycles so far, from all its readings as they are now, and ahead, from the duty
 * model of the last projection. Null where the door cannot be seen.
 */
export async function doorDuty(client: pg.ClientBase, companyId: string, doorId: string, now: Date): Promise<DoorDuty | null> {
  const { rows } = await client.query<DoorRow>(
    `SELECT t.min_cycle_seconds::float8 AS "minCycleSeconds", y.model FROM door d
     JOIN door_type t ON t.company_id = d.company_id AND t.id = d.door_type_id
     LEFT JOIN door_duty y ON y.company_id = d.company_id AND y.door_id = d.id WHERE d.id = $1`,
    [doorId],
  );
  if (rows[0] === undefined) return null;
  const { model, minCycleSeconds } = rows[0];
  const { history, verdicts } = historyOf(await withReadings(client, companyId, doorId, minCycleSeconds), now);
  return {
    model,
    history: thinned(history),
    forecast: model === null ? [] : daysAhead.map((days) => ahead(model, days)),
    setAside: verdicts
      .filter(({ verdict }) => verdict !== 'used-reset' && verdict !== 'used-rollover')
      .sort((a, b) => b.at - a.at)
      .slice(0, mostSetAside)
      .map(({ at, value, verdict }) => ({ at: new Date(at).toISOString(), value, verdict })),
  };
}

interface DoorRow {
  minCycleSeconds: number;
  model: DutyModel | null;
}

/** The door as its history needs it, without the projection's lock: a look must not wait for a projection. */
async function withReadings(client: pg.ClientBase, companyId: string, id: string, minCycleSeconds: number): Promise<CountedDoor> {
  const readings = await loadReadings(client, companyId, [id]);
  const counters = await loadCounters(client, companyId, [id]);
  const overrules = await loadOverrules(client, companyId, [id]);
  return {
    id,
    minCycleSeconds,
    readings: readings.get(id) ?? [],
    counters: counters.get(id) ?? [],
    overrules: overrules.get(id) ?? [],
  };
}

/** Lifetime cycles, not further ones: the fan goes on where the history ends. */
function ahead(model: DutyModel, days: number): DoorDuty['forecast'][number] {
  const further = cyclesAhead(model, days);
  const { lifetimeCycles } = model;
  return { daysAhead: days, p10: lifetimeCycles + further.p10, p50: lifetimeCycles + further.p50, p90: lifetimeCycles + further.p90 };
}

/** Every so-manieth point, the last one always, and each point before which cycles were estimated. */
function thinned({ at, cycles, estimated }: CycleHistory): DoorDuty['history'] {
  const step = Math.ceil(at.length / mostPoints) || 1;
  const points: DoorDuty['history'] = [];
  let estimates = 0;
  for (let index = 0; index < at.length; index++) {
    const marked = estimated[index] === 1 && (estimates += 1) <= mostPoints;
    if (index % step !== 0 && index !== at.length - 1 && !marked) continue;
    points.push({ at: new Date(at[index]!).toISOString(), cycles: cycles[index]!, estimated: estimated[index] === 1 });
  }
  return points;
}
