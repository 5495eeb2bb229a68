import { cyclesAtInstant, parseCivilDate } from '@lintel/engine';
import type { CycleHistory, DutyModel } from '@lintel/engine';
import type { DoorClimate } from '@lintel/contract';
import type pg from 'pg';
import { historiesOf } from './doorHistories.js';

/** The life of one part, so far or to its end; ages null where they cannot be told. */
export interface PartLife {
  partId: string;
  doorTypeId: string;
  climate: DoorClimate;
  /** It failed or was worn out; else it runs, or was taken off for another reason. */
  failed: boolean;
  running: boolean;
  /** Age at the end, or now, and age at which it was first seen. */
  cycles: { age: number; entry: number } | null;
  days: { age: number; entry: number } | null;
}

interface PartFacts {
  partId: string;
  doorId: string;
  doorTypeId: string;
  climate: DoorClimate;
  installedOn: string;
  minCycleSeconds: number;
  duty: DutyModel | null;
  fittedAt: number;
  fittedCycles: number | null;
  ageAtFitting: number;
  /** Null: it runs. */
  endedAt: number | null;
  removedCycles: number | null;
  failed: boolean;
  decommissioned: boolean;
}

const DAY_MS = 86_400_000;

/**
 * The lives of all parts of one kind in a company: failed or worn parts are events; those that run, or were taken off for another
 * reason, are suspensions; those first seen at an age enter at that age. Parts entered in error are none. Ages in cycles are taken
 * from what was noted at fitting and removal, and else from the door's counter history, as its projection takes them.
 */
export async function poolLives(client: pg.ClientBase, companyId: string, kind: string, now: Date): Promise<PartLife[]> {
  const parts = await loadFacts(client, companyId, kind);
  const wanting = new Map(parts.filter(needsHistory).map((part) => [part.doorId, part.minCycleSeconds]));
  const histories = await historiesOf(client, companyId, wanting, now);
  return parts.map((part) => lifeOf(part, histories.get(part.doorId) ?? null, now));
}

/** A door's climate is that of its coldest side. */
async function loadFacts(client: pg.ClientBase, companyId: string, kind: string): Promise<PartFacts[]> {
  const { rows } = await client.query<PartFacts>(
    `SELECT f.id AS "partId", f.door_id AS "doorId", d.door_type_id AS "doorTypeId",
       coalesce(least(zf.temperature_class, zt.temperature_class)::text, 'unknown') AS climate,
       d.installed_on::text AS "installedOn", t.min_cycle_seconds::float8 AS "minCycleSeconds", y.model AS duty,
       date_part('epoch', f.fitted_at) * 1000 AS "fittedAt", f.fitted_cycles::float8 AS "fittedCycles",
       f.age_at_fitting::float8 AS "ageAtFitting",
       date_part('epoch', coalesce(f.removed_at, CASE WHEN d.state = 'decommissioned' THEN greatest(d.state_since, f.fitted_at) END)) * 1000 AS "endedAt",
       f.removed_cycles::float8 AS "removedCycles", coalesce(f.removal_reason IN ('failed', 'worn'), false) AS failed,
       d.state = 'decommissioned' AS decommissioned
     FROM position p
     JOIN fitted_part f ON f.company_id = p.company_id AND f.position_id = p.id
     JOIN door d ON d.company_id = f.company_id AND d.id = f.door_id
     JOIN door_type t ON t.company_id = d.company_id AND t.id = d.door_type_id
     LEFT JOIN zone zf ON zf.company_id = d.company_id AND zf.id = d.from_zone_id
     LEFT JOIN zone zt ON zt.company_id = d.company_id AND zt.id = d.to_zone_id
     LEFT JOIN door_duty y ON y.company_id = d.company_id AND y.door_id = d.id
     WHERE p.company_id = $1::uuid AND p.kind = $2 AND coalesce(f.removal_reason <> 'entered_in_error', true)
     ORDER BY f.id`,
    [companyId, kind],
  );
  return rows;
}

const needsHistory = (part: PartFacts): boolean =>
  part.fittedCycles === null || (part.endedAt !== null && part.removedCycles === null);

function lifeOf(part: PartFacts, history: CycleHistory | null, now: Date): PartLife {
  const { partId, doorTypeId, climate, failed, endedAt, fittedAt, ageAtFitting } = part;
  const days = ((endedAt ?? now.getTime()) - fittedAt) / DAY_MS;
  return {
    partId,
    doorTypeId,
    climate,
    failed,
    running: endedAt === null,
    cycles: sound(cyclesOf(part, history), ageAtFitting, failed),
    // How many days a used part had served before is not known.
    days: ageAtFitting > 0 ? null : sound(days, 0, failed),
  };
}

/** A failure at age 0 says nothing that a law could hold. */
function sound(served: number | null, entry: number, failed: boolean): PartLife['cycles'] {
  if (served === null || !Number.isFinite(served)) return null;
  const age = entry + Math.max(0, served);
  return failed && age <= entry ? null : { age, entry };
}

/** Cycles from fitting to the end, or to the last projection; null: nothing is known of the door's cycles yet. */
function cyclesOf(part: PartFacts, history: CycleHistory | null): number | null {
  const { duty, endedAt, fittedCycles, removedCycles } = part;
  const firstDayMs = parseCivilDate(part.installedOn, 'installedOn').getTime();
  const at = (instant: number): number | null =>
    duty === null || history === null ? null : cyclesAtInstant(history, duty, firstDayMs, instant);
  const from = fittedCycles ?? at(part.fittedAt);
  const to = endedAt === null ? (duty?.lifetimeCycles ?? null) : (removedCycles ?? at(endedAt));
  return from === null || to === null ? null : to - from;
}
