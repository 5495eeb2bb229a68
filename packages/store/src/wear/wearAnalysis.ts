import type { PositionCosts, WearAnalysis, WearFit, WearPlot } from '@lintel/contract';
import { costRateCurve, remainingLife } from '@lintel/engine';
import type { WearModel } from '@lintel/engine';
import type pg from 'pg';
import { learnedById } from './learnedModels.js';
import { costsOf, planOf, planView } from './renewalView.js';

interface AnalysisRow {
  plot: WearPlot;
  fit: WearFit | null;
  plannedCost: number | null;
  failureCost: number | null;
  currency: string | null;
}

/** All that a wear model's page shows beside the model itself; null where the version cannot be seen. */
export async function wearAnalysis(client: pg.ClientBase, companyId: string, id: string): Promise<WearAnalysis | null> {
  const { rows } = await client.query<AnalysisRow>(
    `SELECT m.plot, m.comparison AS fit, p.planned_cost::float8 AS "plannedCost", p.failure_cost::float8 AS "failureCost",
       p.cost_currency::text AS currency
     FROM wear_model m JOIN position p ON p.company_id = m.company_id AND p.id = m.position_id
     WHERE m.company_id = $1::uuid AND m.id = $2::uuid`,
    [companyId, id],
  );
  const [row] = rows;
  const learned = (await learnedById(client, companyId, [id])).get(id);
  if (row === undefined || learned === undefined) return null;
  const { plot, fit, plannedCost, failureCost, currency } = row;
  if (plannedCost === null || failureCost === null || currency === null) return { plot, fit, renewal: null };
  return { plot, fit, renewal: renewalOf(learned.model(), { plannedCost, failureCost, currency }) };
}

function renewalOf(model: WearModel, costs: PositionCosts): WearAnalysis['renewal'] {
  const plan = planOf(model, costsOf(costs));
  // Wide enough to show what waiting too long costs: beyond the age by which nine in ten have failed little changes.
  const until = Math.max(remainingLife(model, 0).p90, 'none' in plan ? 0 : 2 * plan.age);
  return { costs, plan: planView(plan), curve: costRateCurve(model, costsOf(costs), until) };
}
