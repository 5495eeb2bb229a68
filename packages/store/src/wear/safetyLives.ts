import type { SafetyLife } from '@lintel/contract';
import { civilDateAt, MISSION_YEARS, safetyComponentLife } from '@lintel/engine';
import type { DutyModel } from '@lintel/engine';
import type pg from 'pg';

interface DeviceRow {
  fittedPartId: string;
  positionId: string;
  positionName: string;
  b10dCycles: number;
  fittedAt: number;
  ageAtFitting: number;
  timeZone: string;
  duty: DutyModel;
}

const DAYS_PER_YEAR = 365.25;
const YEAR_MS = DAYS_PER_YEAR * 86_400_000;

/**
 * When the safety devices of a door must be exchanged: by their makers' B10D and the door's own operations a year, or at the end of
 * their mission time, whichever is first (ISO 13849-1 annex C). Those without a B10D are left out, and all of them before the first
 * projection. Null where the door cannot be seen.
 */
export async function doorSafetyLives(client: pg.ClientBase, companyId: string, doorId: string, now: Date): Promise<SafetyLife[] | null> {
  const door = await client.query('SELECT FROM door WHERE company_id = $1::uuid AND id = $2::uuid', [companyId, doorId]);
  if (door.rowCount === 0) return null;
  const { rows } = await client.query<DeviceRow>(
    `SELECT f.id AS "fittedPartId", p.id AS "positionId", p.name AS "positionName", p.b10d_cycles::float8 AS "b10dCycles",
       date_part('epoch', f.fitted_at) * 1000 AS "fittedAt", f.age_at_fitting::float8 AS "ageAtFitting", s.time_zone AS "timeZone", y.model AS duty
     FROM fitted_part f
     JOIN position p ON p.company_id = f.company_id AND p.id = f.position_id
     JOIN door d ON d.company_id = f.company_id AND d.id = f.door_id
     JOIN site s ON s.company_id = d.company_id AND s.id = d.site_id
     JOIN door_duty y ON y.company_id = d.company_id AND y.door_id = d.id
     WHERE f.company_id = $1::uuid AND f.door_id = $2::uuid AND f.removed_at IS NULL AND p.safety_device AND p.b10d_cycles IS NOT NULL
     ORDER BY p.ordinal, f.id`,
    [companyId, doorId],
  );
  return rows.flatMap((row) => (row.duty.cyclesPerDay.p90 > 0 ? [lifeOf(row, now)] : []));
}

function lifeOf(row: DeviceRow, now: Date): SafetyLife {
  const { fittedPartId, positionId, positionName, b10dCycles, fittedAt, ageAtFitting, timeZone, duty } = row;
  // The upper end: a rate that is guessed too low would let a device stay too long.
  const operationsPerYear = duty.cyclesPerDay.p90 * DAYS_PER_YEAR;
  const { meanYears, tenthYears } = safetyComponentLife({ b10dCycles, operationsPerYear });
  // What a used device had done before counts.
  const leftYears = Math.max(0, tenthYears - ageAtFitting / operationsPerYear);
  const exchangeAt = fittedAt + Math.min(leftYears, MISSION_YEARS) * YEAR_MS;
  return {
    fittedPartId,
    positionId,
    positionName,
    b10dCycles,
    operationsPerYear,
    meanYears,
    tenthYears,
    byMissionTime: leftYears >= MISSION_YEARS,
    exchangeOn: civilDateAt(exchangeAt, timeZone),
    overdue: exchangeAt < now.getTime(),
  };
}
