import type { DoorClimate } from '@lintel/contract';
import { civilDateAt, cyclesAtInstant, partOutlook, priorModel } from '@lintel/engine';
import type { CivilDate, LifeRating, PartOutlook, WearModel } from '@lintel/engine';
import type pg from 'pg';
import { addTo, arrayLiteral, RowBatch } from '../duty/projectRows.js';
import type { DoorDutyState, LoadedPart } from '../duty/projectTypes.js';
import { learnedKey } from './learnedModels.js';
import type { LearnedModels } from './learnedModels.js';

export interface PartRow {
  partId: string;
  doorId: string;
  /** In the outlook's unit. */
  age: number;
  outlook: PartOutlook;
  /** The version of the wear model that it comes from; null: the rating alone. */
  wearModelId: string | null;
  endsOn10: CivilDate;
  endsOn50: CivilDate;
  endsOn90: CivilDate;
}

const DAY_MS = 86_400_000;

/** Taken where a position has a rating but no shape or spread beside it. Common practice, no source. */
const USUAL_SHAPE = { shape: 2, shapeSpread: 0.3, ratingSpread: 0.5 };

const models = new Map<string, WearModel>();
/** Ratings are few (positions of door types); a bound all the same. */
const MOST_MODELS = 1000;
/** Of the ratings of one run, which its doors share: spares them the making of a key. */
const keptOfRating = new WeakMap<LifeRating, WearModel>();

/** The wear model of a rating: the same numbers give the same model, so it is made once and kept. */
export function modelOfRating(rating: LifeRating): WearModel {
  let model = keptOfRating.get(rating);
  if (model !== undefined) return model;
  const key = `${rating.b10Cycles}/${rating.b10Months}/${rating.shape}/${rating.shapeSpread}/${rating.ratingSpread}`;
  model = models.get(key) ?? priorModel(rating);
  if (models.size >= MOST_MODELS) models.clear();
  models.set(key, model);
  keptOfRating.set(rating, model);
  return model;
}

/** When a part is likely to end; null: it has no rating, and nothing is said of it. */
export function outlookOf(part: LoadedPart, door: DoorDutyState): PartRow | null {
  if (part.rating === null) return null;
  const model = part.learned?.model() ?? modelOfRating(part.rating);
  const age = model.unit === 'cycles' ? ageInCycles(part, door) : Math.max(0, (door.duty.asOf - part.fittedAt) / DAY_MS);
  const outlook = partOutlook(model, age, door.nodes);
  const { remaining, daysAhead, chance30, chance90, chance365 } = outlook;
  // A sum is finite only if all of its terms are.
  if (!Number.isFinite(age + remaining.p10 + remaining.p50 + remaining.p90 + chance30 + chance90 + chance365)) {
    throw new RangeError(`the outlook of part ${part.id} is not finite`);
  }
  return {
    partId: part.id,
    doorId: door.doorId,
    age,
    outlook,
    wearModelId: part.learned?.id ?? null,
    endsOn10: civilDateAt(door.duty.asOf + daysAhead.p10 * DAY_MS, door.timeZone),
    endsOn50: civilDateAt(door.duty.asOf + daysAhead.p50 * DAY_MS, door.timeZone),
    endsOn90: civilDateAt(door.duty.asOf + daysAhead.p90 * DAY_MS, door.timeZone),
  };
}

/** A used part brings its age in cycles with it; in days it is not known, and a part rated in months counts from its fitting. */
function ageInCycles(part: LoadedPart, door: DoorDutyState): number {
  const atFitting = part.fittedCycles ?? cyclesAtInstant(door.history, door.duty, door.firstDayMs, part.fittedAt);
  return Math.max(0, door.duty.lifetimeCycles - atFitting) + part.ageAtFitting;
}

/** The parts that some doors hold now, by door. */
export async function loadParts(
  client: pg.ClientBase,
  companyId: string,
  doors: readonly { id: string; climate: DoorClimate }[],
  { ratings, learned }: { ratings: ReadonlyMap<string, LifeRating>; learned: LearnedModels },
): Promise<Map<string, LoadedPart[]>> {
  const { rows } = await client.query(
    `SELECT door_id AS "doorId", id, position_id AS "positionId", date_part('epoch', fitted_at) * 1000 AS "fittedAt",
       fitted_cycles::float8 AS "fittedCycles", age_at_fitting::float8 AS "ageAtFitting"
     FROM fitted_part WHERE company_id = $1::uuid AND door_id = ANY ($2::uuid[]) AND removed_at IS NULL ORDER BY door_id, id`,
    [companyId, arrayLiteral(doors.map((door) => door.id))],
  );
  const climates = new Map(doors.map((door) => [door.id, door.climate]));
  const byDoor = new Map<string, LoadedPart[]>();
  for (const { doorId, positionId, ...part } of rows) {
    const model = learned.get(learnedKey(positionId, climates.get(doorId)!)) ?? null;
    addTo(byDoor, doorId, { ...part, rating: ratings.get(positionId) ?? null, learned: model });
  }
  return byDoor;
}

/** The life ratings of the company's positions that have one. */
export async function loadRatings(client: pg.ClientBase, companyId: string): Promise<Map<string, LifeRating>> {
  const { rows } = await client.query(
    `SELECT id, b10_cycles::float8 AS "b10Cycles", b10_months AS "b10Months", life_shape::float8 AS shape,
       shape_spread::float8 AS "shapeSpread", rating_spread::float8 AS "ratingSpread"
     FROM position WHERE company_id = $1::uuid AND (b10_cycles IS NOT NULL OR b10_months IS NOT NULL)`,
    [companyId],
  );
  const usual = USUAL_SHAPE;
  return new Map(
    rows.map(({ id, b10Cycles, b10Months, shape, shapeSpread, ratingSpread }) => [
      id,
      {
        b10Cycles,
        b10Months,
        shape: shape ?? usual.shape,
        shapeSpread: shapeSpread ?? usual.shapeSpread,
        ratingSpread: ratingSpread ?? usual.ratingSpread,
      },
    ]),
  );
}

/** What is kept of the outlooks of parts. */
export const partBatch = (): RowBatch =>
  new RowBatch('part_outlook', ['fitted_part_id', 'door_id'], {
    fitted_part_id: 'uuid',
    door_id: 'uuid',
    unit: '"AgeUnit"',
    age: 'float8',
    remaining_10: 'float8',
    remaining_50: 'float8',
    remaining_90: 'float8',
    ends_on_10: 'date',
    ends_on_50: 'date',
    ends_on_90: 'date',
    chance_30: 'float8',
    chance_90: 'float8',
    chance_365: 'float8',
    condition: '"Condition"',
    projected_at: 'timestamptz',
    wear_model_id: 'uuid',
  });

export function addPart(batch: RowBatch, row: PartRow, projectedAt: string): void {
  const { unit, remaining, chance30, chance90, chance365, condition } = row.outlook;
  batch.add(
    row.partId,
    row.doorId,
    unit,
    row.age,
    remaining.p10,
    remaining.p50,
    remaining.p90,
    row.endsOn10,
    row.endsOn50,
    row.endsOn90,
    chance30,
    chance90,
    chance365,
    condition,
    projectedAt,
    row.wearModelId,
  );
}
