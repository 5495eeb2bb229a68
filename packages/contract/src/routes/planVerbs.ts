import type { RouteProblem } from '@lintel/engine';
import { z } from 'zod';
import { civilDate, id, instant, line, name } from '../shared/fields.js';
import type { ListWords } from '../shared/list.js';
import { visitItem } from './routePlan.js';

/** What a plan was solved from, for prices of moves in the page: `movePrices(problem, routes, visitId)` of the engine. */
export const planProblem = z.object({
  /** The engine's words. Stops are visits, technicians are accounts, minutes count from `zeroAt`, prices are minor units. */
  problem: z.record(z.string(), z.unknown()) as unknown as z.ZodType<RouteProblem>,
  zeroAt: instant,
  /** The day of each shift of each technician. */
  shiftDays: z.array(z.object({ technicianId: id, days: z.array(civilDate) })),
  routes: z.array(z.object({ technician: id, shift: z.int(), stops: z.array(id) })),
}).meta({ id: 'PlanProblem' });
export type PlanProblem = z.infer<typeof planProblem>;

const placed = z.object({ technicianId: id, technicianName: z.string().nullable(), onDate: civilDate, startAt: instant });
const reworkedItem = visitItem.pick({ key: true, kind: true, doorName: true, title: true });
/** What accepting a plan changes against the one that it replaces. Visits are the same where they share work. */
export const planDifference = z.object({
  /** Null: it replaces none. */
  basePlanId: id.nullable(),
  moved: z.array(z.object({
    visitId: id, siteId: id, siteName: z.string(), before: placed, after: placed,
    /** The other technician or the other day; false: the hour alone. */
    otherRoute: z.boolean(),
    announced: z.boolean(),
  })),
  added: z.array(z.object({ visitId: id, siteId: id, siteName: z.string(), after: placed })),
  dropped: z.array(z.object({ visitId: id, siteId: id, siteName: z.string(), before: placed, announced: z.boolean() })),
  /** Other work than before, wherever the visit is now. */
  reworked: z.array(z.object({
    visitId: id, siteId: id, siteName: z.string(), at: placed,
    gained: z.array(reworkedItem), lost: z.array(reworkedItem),
    /** By how much the work takes longer; negative: shorter. */
    minutes: z.number(),
  })),
  /** Same place, time and work. */
  unchanged: z.int(),
  cost: z.object({ before: z.number().nullable(), after: z.number().nullable() }),
}).meta({ id: 'PlanDifference' });
export type PlanDifference = z.infer<typeof planDifference>;

/** Where a visit is moved by hand: another route and its place there; `technicianId` null takes it out. */
export const visitMove = z.strictObject({
  technicianId: id.nullable(),
  onDate: civilDate.optional(),
  /** Index of the shift in the routing problem, for whoever has two on that day. Left out: the day's shift where it costs least. */
  shift: z.int().min(0).max(1000).optional(),
  /** 0: first. Left out: where it costs least. */
  position: z.int().min(0).max(500).optional(),
}).refine(({ technicianId, onDate }) => technicianId === null || onDate !== undefined, { path: ['onDate'], message: 'is needed with a technician' })
  .meta({ id: 'VisitMove' });
export type VisitMove = z.infer<typeof visitMove>;

/** What moving a visit would cost, for every place there is. */
export const movePrices = z.object({
  visitId: id,
  places: z.array(z.object({
    technicianId: id.nullable(),
    onDate: civilDate.nullable(),
    shift: z.int().nullable(),
    position: z.int().nullable(),
    /** Against the plan as it stands, in minor units. */
    difference: z.number(),
    breaches: z.array(z.object({ kind: z.enum(['skill', 'load', 'window', 'hours', 'fixed']), visitId: id.nullable(), excess: z.number() })),
  })),
}).meta({ id: 'MovePrices' });
export type MovePrices = z.infer<typeof movePrices>;

/** A visit that was published, as the people who go there and those who are gone to see it. */
export const publishedVisit = z.object({
  id,
  siteId: id,
  siteName: z.string(),
  timeZone: z.string(),
  technicianId: id,
  /** Null for an owner, who does not see the company's people. */
  technicianName: z.string().nullable(),
  startAt: instant,
  leaveAt: instant,
  items: z.array(visitItem.pick({ kind: true, doorId: true, doorName: true, title: true })),
  startedAt: instant.nullable(),
  publishedAt: instant,
}).meta({ id: 'PublishedVisit' });
export type PublishedVisit = z.infer<typeof publishedVisit>;

export const publishedVisitList: ListWords = {
  filters: { id, siteId: id, technicianId: id },
  ranges: { startAt: 'instant' },
  sorts: ['startAt', 'siteName'],
  defaultSort: 'startAt',
  search: true,
};

export const calendarFeed = z.object({
  id,
  technicianId: id,
  technicianName: z.string(),
  createdAt: instant,
  revoked: z.boolean(),
  revokedAt: instant.nullable(),
}).meta({ id: 'CalendarFeed' });
export type CalendarFeed = z.infer<typeof calendarFeed>;
export const calendarFeedCreate = z.strictObject({ technicianId: id }).meta({ id: 'CalendarFeedCreate' });
/** The one time that the address is told: only its hash is kept. */
export const calendarFeedMade = calendarFeed.extend({ path: z.string() }).meta({ id: 'CalendarFeedMade' });
export type CalendarFeedMade = z.infer<typeof calendarFeedMade>;
export const calendarFeedList: ListWords = {
  filters: { id, technicianId: id },
  ranges: {},
  sorts: ['createdAt', 'technicianName'],
  defaultSort: '-createdAt',
  search: false,
};

/** A list of travel times as a file: `from,to,minutes[,km]`, ends named by site or by technician. */
export const travelFile = z.strictObject({ text: z.string().min(1).max(5_000_000) }).meta({ id: 'TravelFile' });
export const travelTaken = z.object({
  /** Pairs of places that the list holds now; a pair given twice counts once, the later line holds. */
  accepted: z.int(),
  /** Lines that could not be used; of more than 500 faults the first are listed. */
  refusedLines: z.int(),
  refused: z.array(z.object({ line: z.int(), field: line, message: name })),
}).meta({ id: 'TravelTaken' });
export type TravelTaken = z.infer<typeof travelTaken>;

/** Travel between two places as the company gave it, one way. */
export const travelTime = z.object({
  id,
  fromName: z.string(),
  toName: z.string(),
  fromSiteId: id.nullable(),
  fromTechnicianId: id.nullable(),
  toSiteId: id.nullable(),
  toTechnicianId: id.nullable(),
  minutes: z.number(),
  km: z.number().nullable(),
  givenAt: instant,
}).meta({ id: 'TravelTime' });
export type TravelTime = z.infer<typeof travelTime>;
export const travelTimeList: ListWords = {
  filters: { id, fromSiteId: id, fromTechnicianId: id, toSiteId: id, toTechnicianId: id },
  ranges: { givenAt: 'instant' },
  sorts: ['fromName', 'toName', 'minutes', 'km', 'givenAt'],
  defaultSort: 'fromName,toName',
  search: true,
};
export const travelCleared = z.object({ removed: z.int() }).meta({ id: 'TravelCleared' });
export type TravelCleared = z.infer<typeof travelCleared>;

/** A plan was asked for; watch it at /route-plans/<planId>, or its job at /jobs/<jobId>. */
export const routePlanAsked = z.object({ planId: id, jobId: id }).meta({ id: 'RoutePlanAsked' });
export type RoutePlanAsked = z.infer<typeof routePlanAsked>;

export const planPublished = z.object({ visits: z.int(), orders: z.int() }).meta({ id: 'PlanPublished' });
export type PlanPublished = z.infer<typeof planPublished>;
