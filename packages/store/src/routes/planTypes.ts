import type { PlanNotice, RouteSettings } from '@lintel/contract';
import type { Coordinates, RouteProblem } from '@lintel/engine';

/** A plan as it is asked for. */
export interface PlanRow {
  id: string;
  fromOn: string;
  days: number;
  seed: number;
  budgetSeconds: number;
  settings: RouteSettings;
  basePlanId: string | null;
  state: string;
  version: number;
}

/** What is kept of a plan's making beside its visits, so that moves can be priced and times be told again. */
export interface KeptProblem {
  problem: RouteProblem;
  /** Kilometres from place to place. */
  km: number[][];
  /** The day of each shift of each technician. */
  shiftDays: { technicianId: string; days: string[] }[];
  /** Where visits were announced for, by visit. */
  announced: Record<string, { technician: string; on: string }>;
}

/** A place that a plan knows: a technician's home or a site. */
export interface PlanPlace extends Coordinates {
  siteId?: string;
  technicianId?: string;
}

export interface TravelMatrix {
  minutes: number[][];
  km: number[][];
  notices: PlanNotice[];
}

export const planColumns = `p.id, p.from_on::text AS "fromOn", p.days, p.seed, p.budget_seconds AS "budgetSeconds", p.settings,
  p.base_plan_id AS "basePlanId", p.state::text AS state, p.version`;
