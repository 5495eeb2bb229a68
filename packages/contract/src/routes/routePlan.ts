import { VISIT_ITEM_KINDS } from '@lintel/engine';
import { z } from 'zod';
import { partKind } from '../fleet/partKinds.js';
import { civilDate, id, instant, line, name, share, version } from '../shared/fields.js';
import type { ListWords } from '../shared/list.js';

export const routePlanState = z.enum([
  'waiting', 'solving', 'draft', 'accepted', 'published', 'superseded', 'discarded', 'failed',
]);
export type RoutePlanState = z.infer<typeof routePlanState>;

export const visitItemKind = z.enum(VISIT_ITEM_KINDS);
export type VisitItemKindWord = z.infer<typeof visitItemKind>;

const price = z.number().min(0).max(100_000_000);
/** In minor units of the plan's currency. */
export const routePrices = z.strictObject({
  perMinute: price,
  perKm: price,
  /** Of each route that is driven at all, and of each visit (a separate trip). */
  route: price,
  trip: price,
  /** Each day later than due (safety: than the latest date), by kind of work. Safety is dearest, whatever is given. */
  lateDay: z.strictObject({ safety: price, unsafe: price, defect: price, note: price, order: price, due: price, renewal: price }),
  /** A visit that was announced and is moved to another technician or day. */
  movedVisit: price,
}).meta({ id: 'RoutePrices' });

export const routeSettings = z.strictObject({
  /** Left out: all that are there. */
  technicianIds: z.array(id).max(200).optional(),
  siteIds: z.array(id).max(2000).optional(),
  /** Days over which demand is looked at. */
  horizonDays: z.int().min(7).max(120),
  /** A visit is not longer; a site with more work gets several. */
  visitMinutes: z.int().min(30).max(1440),
  /** Of travel that no server and no list knows: great circle × detour ÷ speed. */
  speedKmh: z.number().min(5).max(200),
  detourFactor: z.number().min(1).max(4),
  prices: routePrices,
}).meta({ id: 'RouteSettings' });
export type RouteSettings = z.infer<typeof routeSettings>;

/** Common practice, no source; to be replaced with the company's own. */
export const usualRouteSettings: RouteSettings = {
  horizonDays: 42,
  visitMinutes: 360,
  speedKmh: 60,
  detourFactor: 1.3,
  prices: {
    perMinute: 80,
    perKm: 45,
    route: 2_000,
    trip: 3_000,
    lateDay: { safety: 50_000, unsafe: 50_000, defect: 8_000, note: 500, order: 4_000, due: 1_500, renewal: 0 },
    movedVisit: 6_000,
  },
};

/** Why a plan is made again, on top of what has changed in absences, sites and work meanwhile. */
export const replanning = z.strictObject({ reason: z.enum(['ill', 'site-moved', 'urgent', 'other']), note: line.optional() })
  .meta({ id: 'Replanning' });
export type Replanning = z.infer<typeof replanning>;

export const routePlanCreate = z.strictObject({
  name: name.optional(),
  fromOn: civilDate,
  days: z.int().min(1).max(31).default(7),
  seed: z.int().min(0).max(2_147_483_647).default(1),
  budgetSeconds: z.int().min(1).max(600).default(20),
  currency: z.string().regex(/^[A-Z]{3}$/, 'must be three capital letters (ISO 4217)').default('EUR'),
  settings: routeSettings.partial().optional(),
}).meta({ id: 'RoutePlanCreate' });
export type RoutePlanCreate = z.infer<typeof routePlanCreate>;

export const replanCreate = z.strictObject({
  replanning,
  seed: z.int().min(0).max(2_147_483_647).optional(),
  budgetSeconds: z.int().min(1).max(600).optional(),
}).meta({ id: 'ReplanCreate' });
export type ReplanCreate = z.infer<typeof replanCreate>;

/** Codes and facts; the page makes the sentence. */
export const planNotice = z.object({
  code: z.enum(['travel-estimated', 'travel-server-failed', 'site-without-place', 'technician-without-shift', 'technician-without-skill',
    'safety-overdue', 'safety-left-out', 'stock-missing', 'kept-not-possible', 'nothing-to-do']),
  facts: z.record(z.string(), z.union([z.string(), z.number()])),
}).meta({ id: 'PlanNotice' });
export type PlanNotice = z.infer<typeof planNotice>;

export const routePlan = z.object({
  id,
  name: z.string(),
  state: routePlanState,
  fromOn: civilDate,
  days: z.int(),
  seed: z.int(),
  budgetSeconds: z.int(),
  settings: routeSettings,
  basePlanId: id.nullable(),
  replanning: replanning.nullable(),
  notices: z.array(planNotice),
  fraction: share,
  iterations: z.int(),
  /** In minor units of `currency`. */
  cost: z.number().nullable(),
  travelCost: z.number().nullable(),
  currency: z.string(),
  error: z.string().nullable(),
  jobId: id.nullable(),
  accountId: id.nullable(),
  accountName: z.string().nullable(),
  createdAt: instant,
  solvedAt: instant.nullable(),
  acceptedAt: instant.nullable(),
  publishedAt: instant.nullable(),
  visits: z.int(),
  unserved: z.int(),
  version,
}).meta({ id: 'RoutePlan' });
export type RoutePlan = z.infer<typeof routePlan>;

export const routePlanList: ListWords = {
  filters: { id, state: routePlanState, basePlanId: id },
  ranges: { fromOn: 'date', createdAt: 'instant' },
  sorts: ['fromOn', 'createdAt', 'state', 'name'],
  defaultSort: '-createdAt',
  search: true,
};

const date = civilDate.nullable();
export const visitPart = z.object({ kind: partKind, quantity: z.int(), for: visitItemKind, doorId: id }).meta({ id: 'VisitPart' });
export type VisitPart = z.infer<typeof visitPart>;

/** One piece of work of a visit and why it is part of it. */
export const visitItem = z.object({
  /** Equal for the same work in every plan. */
  key: z.string(),
  kind: visitItemKind,
  doorId: id,
  doorName: z.string(),
  /** Task, part position, finding or order in words of the company. */
  title: z.string(),
  taskId: id.nullable(),
  fittedPartId: id.nullable(),
  workOrderId: id.nullable(),
  minutes: z.number(),
  earliestOn: date,
  dueOn: date,
  latestOn: date,
  /** `due`: falls due within the plan; `late`: was due before it; `saves-trip`: coming early costs less than a trip of its own;
   * `worth-while`: a renewal that pays while one is there; `ordered`: an order is open; `seen`: a finding is open. */
  joins: z.object({
    code: z.enum(['due', 'late', 'saves-trip', 'worth-while', 'ordered', 'seen']),
    facts: z.record(z.string(), z.union([z.string(), z.number()])),
  }),
  /** Days after the latest date at which the plan has it done; 0: in time. */
  overdueDays: z.int(),
  /** Price of a day later, and of being done early, in minor units. */
  lateDay: z.number(),
  earlyDay: z.number(),
}).meta({ id: 'VisitItem' });
export type VisitItem = z.infer<typeof visitItem>;

export const visitCosts = z.object({
  travel: z.number(),
  late: z.number(),
  early: z.number(),
  moved: z.number(),
  trip: z.number(),
  unserved: z.number(),
}).meta({ id: 'VisitCosts' });
export type VisitCosts = z.infer<typeof visitCosts>;

export const unservedReason = z.enum(['no-skill', 'load', 'no-hours', 'window', 'price', 'no-place']);
export type UnservedReasonWord = z.infer<typeof unservedReason>;

export const planVisit = z.object({
  id,
  siteId: id,
  siteName: z.string(),
  timeZone: z.string(),
  latitude: z.number().nullable(),
  longitude: z.number().nullable(),
  /** Null with all of the following: left out of the plan. */
  technicianId: id.nullable(),
  onDate: date,
  ordinal: z.int().nullable(),
  arriveAt: instant.nullable(),
  startAt: instant.nullable(),
  leaveAt: instant.nullable(),
  travelMinutes: z.number().nullable(),
  travelKm: z.number().nullable(),
  waitingMinutes: z.number().nullable(),
  slackMinutes: z.number().nullable(),
  minutes: z.number(),
  skills: z.array(z.string()),
  items: z.array(visitItem),
  parts: z.array(visitPart),
  costs: visitCosts,
  reason: unservedReason.nullable(),
  locked: z.boolean(),
  startedAt: instant.nullable(),
  publishedAt: instant.nullable(),
}).meta({ id: 'PlanVisit' });
export type PlanVisit = z.infer<typeof planVisit>;

/** What one van must carry on one day, and what of it is missing: `onVan` counts what earlier days of the plan leave. */
export const carriedPart = z.object({ kind: partKind, needed: z.int(), onVan: z.int(), missing: z.int() }).meta({ id: 'CarriedPart' });
export type CarriedPart = z.infer<typeof carriedPart>;

export const planRoute = z.object({
  technicianId: id,
  technicianName: z.string(),
  onDate: civilDate,
  /** Index of the shift in the routing problem. */
  shift: z.int(),
  shiftFrom: instant,
  shiftTo: instant,
  home: z.object({ latitude: z.number(), longitude: z.number() }),
  /** Leaves home, and is back. Null: a day without a visit. */
  leaveHomeAt: instant.nullable(),
  endAt: instant.nullable(),
  /** In order. Empty: a day without a visit. */
  visitIds: z.array(id),
  travelMinutes: z.number(),
  travelKm: z.number(),
  workMinutes: z.number(),
  waitingMinutes: z.number(),
  carry: z.array(carriedPart),
}).meta({ id: 'PlanRoute' });
export type PlanRoute = z.infer<typeof planRoute>;

/** A plan with all that a page shows of it. */
export const routePlanDetail = routePlan.extend({
  routes: z.array(planRoute),
  visitList: z.array(planVisit),
}).meta({ id: 'RoutePlanDetail' });
export type RoutePlanDetail = z.infer<typeof routePlanDetail>;
