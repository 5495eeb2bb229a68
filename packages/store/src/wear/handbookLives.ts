import type { BearingLifeView, ChainLifeView, HandbookLives } from '@lintel/contract';
import {
  bearingCycles, bearingRatingLife, bearingReliability, chainWearLimitPercent, civilDateAt, cyclesAtInstant, daysUntil, HORIZON_DAYS,
  parseCivilDate, projectChainWear,
} from '@lintel/engine';
import type { CycleHistory, DutyModel, Quantiles } from '@lintel/engine';
import type pg from 'pg';
import { historiesOf } from './doorHistories.js';

interface DoorRow {
  installedOn: string;
  timeZone: string;
  minCycleSeconds: number;
  duty: DutyModel | null;
}

/** A door with what its cycles are told from. */
interface CountedDoor extends DoorRow {
  history: CycleHistory;
}

interface PartRow {
  fittedPartId: string;
  positionId: string;
  positionName: string;
  partKind: string;
  fittedAt: number;
  fittedCycles: number | null;
  ageAtFitting: number;
  kind: 'ball' | 'roller' | null;
  ratingKn: number;
  loadKn: number;
  turnsPerCycle: number;
  source: string | null;
  pitchMm: number | null;
  sprocketTeeth: number | null;
  fixedCentres: boolean;
  makersLimit: number | null;
}

interface MeasurementRow {
  id: string;
  fittedPartId: string;
  measuredAt: number;
  lifetimeCycles: number | null;
  elongationPercent: number;
}

const DAY_MS = 86_400_000;
/** Up to 66 teeth the handbook's limit does not depend on them. */
const USUAL_TEETH = 38;

/**
 * What handbooks say of the parts that a door holds now: its bearings by rating and load (ISO 281), its chains by their measured
 * elongation. Ages in cycles are taken as the projection takes them. Null where the door cannot be seen. Reads the door's readings.
 */
export async function handbookLives(client: pg.ClientBase, companyId: string, doorId: string, now: Date): Promise<HandbookLives | null> {
  const { rows } = await client.query<DoorRow>(
    `SELECT d.installed_on::text AS "installedOn", s.time_zone AS "timeZone", t.min_cycle_seconds::float8 AS "minCycleSeconds", y.model AS duty
     FROM door d JOIN site s ON s.company_id = d.company_id AND s.id = d.site_id
     JOIN door_type t ON t.company_id = d.company_id AND t.id = d.door_type_id
     LEFT JOIN door_duty y ON y.company_id = d.company_id AND y.door_id = d.id WHERE d.company_id = $1::uuid AND d.id = $2::uuid`,
    [companyId, doorId],
  );
  const [found] = rows;
  if (found === undefined) return null;
  const parts = await loadParts(client, companyId, doorId);
  if (parts.length === 0) return { chains: [], bearings: [] };
  const histories = await historiesOf(client, companyId, new Map([[doorId, found.minCycleSeconds]]), now);
  const door = { ...found, history: histories.get(doorId)! };
  const measured = await loadMeasurements(client, companyId, doorId);
  return {
    chains: parts.filter(({ partKind }) => partKind === 'drive-chain').map((part) => chainOf(part, door, measured)),
    bearings: parts.flatMap((part) => bearingOf(part, door) ?? []),
  };
}

async function loadParts(client: pg.ClientBase, companyId: string, doorId: string): Promise<PartRow[]> {
  const { rows } = await client.query<PartRow>(
    `SELECT f.id AS "fittedPartId", p.id AS "positionId", p.name AS "positionName", p.kind AS "partKind",
       date_part('epoch', f.fitted_at) * 1000 AS "fittedAt", f.fitted_cycles::float8 AS "fittedCycles", f.age_at_fitting::float8 AS "ageAtFitting",
       p.bearing_kind::text AS kind, p.bearing_rating_kn::float8 AS "ratingKn", p.bearing_load_kn::float8 AS "loadKn",
       p.turns_per_cycle::float8 AS "turnsPerCycle", p.bearing_source AS source, p.chain_pitch_mm::float8 AS "pitchMm",
       p.sprocket_teeth AS "sprocketTeeth", p.fixed_centres AS "fixedCentres", p.chain_limit_percent::float8 AS "makersLimit"
     FROM fitted_part f JOIN position p ON p.company_id = f.company_id AND p.id = f.position_id
     WHERE f.company_id = $1::uuid AND f.door_id = $2::uuid AND f.removed_at IS NULL AND (p.kind = 'drive-chain' OR p.bearing_kind IS NOT NULL)
     ORDER BY p.ordinal, f.id`,
    [companyId, doorId],
  );
  return rows;
}

/** Those in force: what was corrected is not. */
async function loadMeasurements(client: pg.ClientBase, companyId: string, doorId: string): Promise<MeasurementRow[]> {
  const { rows } = await client.query<MeasurementRow>(
    `SELECT m.id, m.fitted_part_id AS "fittedPartId", date_part('epoch', m.measured_at) * 1000 AS "measuredAt",
       m.lifetime_cycles::float8 AS "lifetimeCycles", m.elongation_percent AS "elongationPercent"
     FROM chain_measurement m WHERE m.company_id = $1::uuid AND m.door_id = $2::uuid AND NOT EXISTS (SELECT FROM chain_measurement c
       WHERE c.company_id = m.company_id AND c.fitted_part_id = m.fitted_part_id AND c.corrects_id = m.id) ORDER BY m.measured_at, m.id`,
    [companyId, doorId],
  );
  return rows;
}

/** Lifetime cycles of the door at an instant; null: nothing is known of them yet. */
function cyclesThen({ duty, history, installedOn }: CountedDoor, at: number): number | null {
  return duty === null ? null : cyclesAtInstant(history, duty, parseCivilDate(installedOn, 'installedOn').getTime(), at);
}

/** Cycles that a part has run when the door has made so many. */
function ageOf(part: PartRow, door: CountedDoor, doorCycles: number | null): number | null {
  const atFitting = part.fittedCycles ?? cyclesThen(door, part.fittedAt);
  return doorCycles === null || atFitting === null ? null : Math.max(0, doorCycles - atFitting) + part.ageAtFitting;
}

function bearingOf(part: PartRow, door: CountedDoor): BearingLifeView | null {
  const { fittedPartId, positionId, positionName, kind, ratingKn, loadKn, turnsPerCycle, source } = part;
  const ageCycles = ageOf(part, door, door.duty?.lifetimeCycles ?? null);
  if (kind === null || ageCycles === null) return null;
  const bearing = { kind, rating: ratingKn, load: loadKn };
  const l10MillionTurns = bearingRatingLife(bearing);
  const l10Cycles = bearingCycles(l10MillionTurns, turnsPerCycle);
  const turned = (ageCycles * turnsPerCycle) / 1e6;
  return {
    fittedPartId, positionId, positionName, kind, ratingKn, loadKn, turnsPerCycle, source, l10MillionTurns, l10Cycles, ageCycles,
    failedByNow: turned > 0 ? 1 - bearingReliability(bearing, turned) : 0,
    reachedOn: door.duty === null ? null : datesOf(daysUntil(door.duty, l10Cycles - ageCycles), door),
  };
}

function chainOf(part: PartRow, door: CountedDoor, all: readonly MeasurementRow[]): ChainLifeView {
  const { fittedPartId, positionId, positionName, pitchMm, sprocketTeeth, fixedCentres } = part;
  const measurements = all.filter((each) => each.fittedPartId === fittedPartId).map(({ id, measuredAt, lifetimeCycles, elongationPercent }) => ({
    id,
    measuredAt: new Date(measuredAt).toISOString(),
    ageCycles: ageOf(part, door, lifetimeCycles ?? cyclesThen(door, measuredAt)),
    elongationPercent,
  }));
  const limit = limitOf(part);
  const ageCycles = ageOf(part, door, door.duty?.lifetimeCycles ?? null);
  const drawn = measurements.flatMap(({ ageCycles: cycles, elongationPercent }) => (cycles === null ? [] : [{ cycles, elongationPercent }]));
  const projected = projectChainWear(drawn, limit.limitPercent);
  const line = 'none' in projected ? null : lineOf(projected, limit.limitPercent);
  return {
    fittedPartId, positionId, positionName, pitchMm, sprocketTeeth, fixedCentres, ...limit, ageCycles, measurements,
    atLimit: (measurements.at(-1)?.elongationPercent ?? 0) >= limit.limitPercent,
    line,
    none: 'none' in projected ? projected.none : null,
    limitOn: line === null || ageCycles === null || door.duty === null ? null : limitDates(line, ageCycles, door.duty, door),
  };
}

/** The maker's own limit, or the handbook's, whichever is reached first. */
function limitOf({ sprocketTeeth, fixedCentres, makersLimit }: PartRow): Pick<ChainLifeView, 'limitPercent' | 'limitSource'> {
  const handbook = chainWearLimitPercent(sprocketTeeth ?? USUAL_TEETH, fixedCentres);
  return makersLimit !== null && makersLimit <= handbook
    ? { limitPercent: makersLimit, limitSource: 'maker' }
    : { limitPercent: handbook, limitSource: 'handbook' };
}

type Line = NonNullable<ChainLifeView['line']>;

function lineOf(projected: Exclude<ReturnType<typeof projectChainWear>, { none: string }>, limitPercent: number): Line {
  const { cyclesAtLimit, interval: [low, high], percentPer100kCycles } = projected;
  const interceptPercent = limitPercent - (percentPer100kCycles * cyclesAtLimit) / 1e5;
  return { interceptPercent, percentPer100kCycles, cyclesAtLimit, low, high: high === Infinity ? null : high };
}

/** The line's interval and the duty's crossed: the early date is that of its low end on a hard-worked door. */
function limitDates({ low, cyclesAtLimit, high }: Line, ageCycles: number, duty: DutyModel, door: CountedDoor): ChainLifeView['limitOn'] {
  return datesOf({
    p10: daysUntil(duty, low - ageCycles).p10,
    p50: daysUntil(duty, cyclesAtLimit - ageCycles).p50,
    p90: high === null ? HORIZON_DAYS : daysUntil(duty, high - ageCycles).p90,
  }, door);
}

function datesOf({ p10, p50, p90 }: Quantiles, { duty, timeZone }: CountedDoor): BearingLifeView['reachedOn'] {
  const dateOf = (days: number) => (days >= HORIZON_DAYS ? null : civilDateAt(duty!.asOf + days * DAY_MS, timeZone));
  return { p10: dateOf(p10), p50: dateOf(p50), p90: dateOf(p90) };
}
