import type { WeekShift } from '@lintel/contract';
import type { DaySpan } from '@lintel/engine';
import type pg from 'pg';
import { datesFrom, minutesAt, weekdayOf, zeroOf } from './localTime.js';
import type { PlanRow } from './planTypes.js';

export interface CrewMember {
  id: string;
  name: string;
  latitude: number;
  longitude: number;
  skills: string[];
  vanLoadKg?: number;
  /** The hours of each day of the plan on which the technician is there. */
  shifts: DaySpan[];
}

interface CrewRow extends Omit<CrewMember, 'shifts' | 'vanLoadKg'> {
  timeZone: string;
  week: WeekShift[];
  vanLoadKg: number | null;
  absences: { from: string; to: string }[];
}

/** The technicians of a plan with their hours: those of the week without their absences. */
export async function loadCrew(client: pg.ClientBase, companyId: string, plan: Pick<PlanRow, 'fromOn' | 'days' | 'settings'>): Promise<CrewMember[]> {
  const { rows } = await client.query<CrewRow>(
    `SELECT t.id, a.name, t.home_latitude::float8 AS latitude, t.home_longitude::float8 AS longitude, t.skills, t.time_zone AS "timeZone",
       t.shifts AS week, t.van_load_kg AS "vanLoadKg",
       coalesce((SELECT jsonb_agg(jsonb_build_object('from', b.from_on, 'to', b.to_on)) FROM technician_absence b
         WHERE b.company_id = t.company_id AND b.technician_id = t.id AND b.archived_at IS NULL), '[]') AS absences
     FROM technician t JOIN account a ON a.company_id = t.company_id AND a.id = t.id AND a.active
     WHERE t.company_id = $1 AND t.archived_at IS NULL AND ($2::uuid[] IS NULL OR t.id = ANY ($2::uuid[])) ORDER BY t.id`,
    [companyId, plan.settings.technicianIds ?? null],
  );
  const zero = zeroOf(plan.fromOn);
  return rows.map(({ week, absences, timeZone, vanLoadKg, ...member }) => ({
    ...member,
    ...(vanLoadKg === null ? {} : { vanLoadKg }),
    shifts: datesFrom(plan.fromOn, plan.days)
      .filter((on) => !absences.some(({ from, to }) => on >= from && on <= to))
      .flatMap((on) => week.filter(({ weekday }) => weekday === weekdayOf(on))
        .map(({ from, to }) => ({ on, from: minutesAt(zero, on, from, timeZone), to: minutesAt(zero, on, to, timeZone) })))
      .sort((a, b) => a.from - b.from),
  }));
}
