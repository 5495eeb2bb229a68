import type { DoorRenewals, PartRenewal } from '@lintel/contract';
import { dutyNodes, renewAtVisit } from '@lintel/engine';
import type { DutyModel, DutyNodes } from '@lintel/engine';
import type pg from 'pg';
import { learnedById } from './learnedModels.js';
import type { LearnedModel } from './learnedModels.js';
import { loadRatings, modelOfRating } from './projectWear.js';
import { costsOf, planOf, planView } from './renewalView.js';

interface PartRow {
  fittedPartId: string;
  positionId: string;
  unit: 'cycles' | 'days';
  age: number;
  wearModelId: string | null;
  plannedCost: number;
  failureCost: number;
  currency: string;
}

/** What falls due within so many days is done at the visit that is thought of. Common practice, no source. */
const SAME_VISIT_DAYS = 7;
/** To the next visit, where nothing is due. Common practice, no source. */
const USUAL_DAYS = 182;
const DAY_MS = 86_400_000;

/**
 * For each part of a door that has an outlook and costs: at which age replacing it costs least, and whether to replace it now or to leave
 * it until the door is next seen to. Null where the door cannot be seen. Some milliseconds a model, the first time it is asked.
 */
export async function doorRenewals(client: pg.ClientBase, companyId: string, doorId: string, now: Date): Promise<DoorRenewals | null> {
  const { rows: doors } = await client.query<{ model: DutyModel | null; nextVisitOn: string | null }>(
    `SELECT y.model, (SELECT min(u.due_on)::text FROM due_item u WHERE u.company_id = d.company_id AND u.door_id = d.id
       AND u.due_on > $3::date + ${SAME_VISIT_DAYS}) AS "nextVisitOn"
     FROM door d LEFT JOIN door_duty y ON y.company_id = d.company_id AND y.door_id = d.id WHERE d.company_id = $1::uuid AND d.id = $2::uuid`,
    [companyId, doorId, now],
  );
  const [door] = doors;
  if (door === undefined) return null;
  const { nextVisitOn, model: duty } = door;
  const daysToNext = nextVisitOn === null ? USUAL_DAYS : (Date.parse(nextVisitOn) - now.getTime()) / DAY_MS;
  const items = duty === null ? [] : await partsOf(client, companyId, doorId, { nodes: dutyNodes(duty), daysToNext });
  return { nextVisitOn, items };
}

interface Visit {
  nodes: DutyNodes;
  daysToNext: number;
}

async function partsOf(client: pg.ClientBase, companyId: string, doorId: string, visit: Visit): Promise<PartRenewal[]> {
  const { rows } = await client.query<PartRow>(
    `SELECT l.fitted_part_id AS "fittedPartId", f.position_id AS "positionId", l.unit::text AS unit, l.age, l.wear_model_id AS "wearModelId",
       p.planned_cost::float8 AS "plannedCost", p.failure_cost::float8 AS "failureCost", p.cost_currency::text AS currency
     FROM part_outlook l JOIN fitted_part f ON f.company_id = l.company_id AND f.id = l.fitted_part_id
     JOIN position p ON p.company_id = f.company_id AND p.id = f.position_id
     WHERE l.company_id = $1::uuid AND l.door_id = $2::uuid AND f.removed_at IS NULL AND p.planned_cost IS NOT NULL ORDER BY p.ordinal, l.fitted_part_id`,
    [companyId, doorId],
  );
  const learned = await learnedById(client, companyId, [...new Set(rows.flatMap((row) => row.wearModelId ?? []))]);
  const ratings = await loadRatings(client, companyId);
  return rows.flatMap((row) => {
    const rating = ratings.get(row.positionId);
    const model = modelFor(row, learned) ?? (rating === undefined ? null : modelOfRating(rating));
    // A rating that was changed since, from cycles to months: the next projection has it.
    return model === null || model.unit !== row.unit ? [] : [renewalOf(row, model, visit)];
  });
}

const modelFor = ({ wearModelId }: PartRow, learned: ReadonlyMap<string, LearnedModel>) =>
  wearModelId === null ? null : (learned.get(wearModelId)?.model() ?? null);

function renewalOf(row: PartRow, model: Parameters<typeof renewAtVisit>[0], { nodes, daysToNext }: Visit): PartRenewal {
  const { fittedPartId, positionId, unit, age, plannedCost, failureCost, currency } = row;
  const costs = { plannedCost, failureCost, currency };
  const plan = planOf(model, costsOf(costs));
  const visit = { ...renewAtVisit(model, age, nodes, daysToNext, costsOf(costs), plan), daysToNext };
  return { fittedPartId, positionId, unit, age, costs, plan: planView(plan), visit };
}
