import type { PlanNotice } from '@lintel/contract';
import { overdueDays, pairVisits, routeProblemOf, visitsFromDemand, type CandidateVisit, type DaySpan, type PlacedVisit, type PlannedRoute } from '@lintel/engine';
import { newId, type CompanyContext, type Store } from '../context.js';
import { loadCrew, type CrewMember } from './loadCrew.js';
import { loadDemand, type NamedDemand } from './loadDemand.js';
import { loadKeptVisits, type KeptVisit } from './keptVisits.js';
import { dateAfter, datesFrom, minutesAt, weekdayOf, zeroOf } from './localTime.js';
import type { KeptProblem, PlanPlace, PlanRow } from './planTypes.js';
import { shiftOf } from './shiftOf.js';
import { travelMatrix } from './travel.js';

export interface PrepareOptions {
  now: Date;
  travelUrl: string | null;
}

/** A visit before it has a place in a plan. */
export interface PreparedVisit {
  id: string;
  siteId: string;
  items: CandidateVisit['items'];
  minutes: number;
  skills: string[];
  locked: boolean;
  startedAt: string | null;
  /** Its site has no coordinates: it is in no problem. */
  noPlace: boolean;
}

export interface PreparedPlan {
  visits: PreparedVisit[];
  kept: KeptProblem;
  start: PlannedRoute[];
  notices: PlanNotice[];
}

interface SiteRow {
  id: string;
  name: string;
  timeZone: string;
  latitude: number | null;
  longitude: number | null;
  windows: { weekday: number; opensAt: string; closesAt: string }[];
}

/** Everything that a plan is solved from. What is asked of a routing server is asked outside any transaction. */
export async function preparePlan(store: Store, context: CompanyContext, plan: PlanRow, options: PrepareOptions): Promise<PreparedPlan> {
  const { settings } = plan;
  const loaded = await store.withCompanySql(context, async (client) => ({
    crew: await loadCrew(client, context.companyId, plan),
    kept: plan.basePlanId === null ? [] : await loadKeptVisits(client, context.companyId, plan.basePlanId),
    demand: await loadDemand(client, {
      companyId: context.companyId, siteIds: settings.siteIds ?? null, fromOn: plan.fromOn, horizonDays: settings.horizonDays, now: options.now,
    }),
    sites: (await client.query<SiteRow>(
      `SELECT s.id, s.name, s.time_zone AS "timeZone", s.latitude::float8 AS latitude, s.longitude::float8 AS longitude,
         coalesce((SELECT jsonb_agg(jsonb_build_object('weekday', w.weekday, 'opensAt', w.opens_at, 'closesAt', w.closes_at)) FROM site_window w
           WHERE w.company_id = s.company_id AND w.site_id = s.id AND w.archived_at IS NULL), '[]') AS windows
       FROM site s WHERE s.company_id = $1`, [context.companyId])).rows,
  }));
  const { crew, kept, demand } = loaded;
  const sites = new Map(loaded.sites.map((site) => [site.id, site]));
  const pinned = kept.filter((visit) => visit.pinned);
  const taken = new Set(pinned.flatMap(({ items }) => items.map(({ key }) => key)));
  const lastOn = dateAfter(plan.fromOn, plan.days - 1);
  const candidates = visitsFromDemand(demand.filter(({ key }) => !taken.has(key)), {
    fromOn: plan.fromOn, horizonDays: settings.horizonDays, visitMinutes: settings.visitMinutes, prices: settings.prices,
    technicianSkills: crew.map(({ skills }) => skills),
  }).filter(({ dueOn }) => dueOn <= lastOn);
  const visits = [...pinned.map((visit) => pinnedVisit(visit)), ...candidates.map((visit) => freshVisit(visit, sites))];
  const partner = new Map([...pairVisits(
    kept.map((visit) => ({ id: visit.id, siteId: visit.siteId, keys: visit.items.map(({ key }) => key) })),
    visits.map((visit) => ({ id: visit.id, siteId: visit.siteId, keys: visit.items.map(({ key }) => key) })),
  )].map(([before, after]) => [after.id, kept.find(({ id }) => id === before.id)!]));
  return assemble(store, context, plan, { ...options, crew, sites, visits, partner, demand });
}

interface Parts extends PrepareOptions {
  crew: CrewMember[];
  sites: ReadonlyMap<string, SiteRow>;
  visits: PreparedVisit[];
  /** What a visit was in the plan before. */
  partner: ReadonlyMap<string, KeptVisit>;
  demand: NamedDemand[];
}

async function assemble(store: Store, context: CompanyContext, plan: PlanRow, parts: Parts): Promise<PreparedPlan> {
  const { crew, sites, visits, partner } = parts;
  const { prices } = plan.settings;
  const placed = visits.filter(({ noPlace }) => !noPlace);
  const siteIds = [...new Set(placed.map(({ siteId }) => siteId))];
  const places: PlanPlace[] = [
    ...crew.map(({ id, latitude, longitude }) => ({ technicianId: id, latitude, longitude })),
    ...siteIds.map((siteId) => ({ siteId, latitude: sites.get(siteId)!.latitude!, longitude: sites.get(siteId)!.longitude! })),
  ];
  const travel = await travelMatrix(store, context, places, { ...plan.settings, travelUrl: parts.travelUrl });
  const notices = [...travel.notices, ...noticesOf(plan, parts)];
  const announced: KeptProblem['announced'] = {};
  const slotOf = (visit: KeptVisit) => ({ technician: visit.technicianId, on: visit.on, startMinutes: (Date.parse(visit.startAt) - zeroOf(plan.fromOn)) / 60_000 });
  const stops = placed.map((visit): PlacedVisit => {
    const before = partner.get(visit.id);
    if (before?.announced) announced[visit.id] = { technician: before.technicianId, on: before.on };
    const pinned = visit.locked || visit.startedAt !== null;
    const notBefore = visit.items.flatMap(({ earliestOn }) => earliestOn ?? []).sort().at(-1) ?? null;
    return {
      id: visit.id, place: crew.length + siteIds.indexOf(visit.siteId), items: visit.items, minutes: visit.minutes, skills: visit.skills, notBefore,
      windows: windowsOf(sites.get(visit.siteId)!, plan, visit.startedAt === null ? parts.now : null),
      ...(before && pinned ? { fixed: slotOf(before) } : {}),
      ...(before?.announced ? { announced: { technician: before.technicianId, on: before.on } } : {}),
    };
  });
  const technicians = crew.map((member, home) => ({ ...member, home }));
  const problem = routeProblemOf({ visits: stops, technicians, minutes: travel.minutes, km: travel.km, since: plan.fromOn, nextOn: dateAfter(plan.fromOn, plan.days), prices });
  for (const visit of placed) {
    const fixed = problem.stops.find(({ id }) => id === visit.id)!.fixed;
    if ((visit.locked || visit.startedAt !== null) && fixed === undefined) {
      visit.locked = false;
      notices.push({ code: 'kept-not-possible', facts: { site: sites.get(visit.siteId)!.name } });
    }
  }
  const shiftDays = crew.map(({ id, shifts }) => ({ technicianId: id, days: shifts.map(({ on }) => on) }));
  const start = startFrom(placed, partner, { problem, shiftDays }, plan.fromOn);
  return { visits, kept: { problem, km: travel.km, shiftDays, announced }, start, notices };
}

/** The routes of the plan before, as far as their days and visits are there still. */
function startFrom(visits: readonly PreparedVisit[], partner: ReadonlyMap<string, KeptVisit>, kept: Pick<KeptProblem, 'problem' | 'shiftDays'>, fromOn: string): PlannedRoute[] {
  const routes = new Map<string, { route: PlannedRoute; stops: { id: string; startAt: string }[] }>();
  for (const { id } of visits) {
    const before = partner.get(id);
    const shift = before && shiftOf(kept, fromOn, before);
    if (before === undefined || shift === undefined || shift < 0) continue;
    const key = `${before.technicianId}/${shift}`;
    const entry = routes.get(key) ?? { route: { technician: before.technicianId, shift, stops: [] }, stops: [] };
    entry.stops.push({ id, startAt: before.startAt });
    routes.set(key, entry);
  }
  return [...routes.values()].map(({ route, stops }) => ({
    ...route, stops: stops.sort((a, b) => (a.startAt < b.startAt ? -1 : 1)).map(({ id }) => id),
  }));
}

function pinnedVisit(visit: KeptVisit): PreparedVisit {
  const { siteId, items, minutes, skills, locked, startedAt } = visit;
  return { id: newId(), siteId, items, minutes, skills, locked, startedAt, noPlace: false };
}

function freshVisit({ siteId, items, minutes, skills }: CandidateVisit, sites: ReadonlyMap<string, SiteRow>): PreparedVisit {
  return { id: newId(), siteId, items, minutes, skills, locked: false, startedAt: null, noPlace: sites.get(siteId)?.latitude == null };
}

/** When work may begin at a site on each day of a plan, in minutes; not in the past. */
function windowsOf(site: SiteRow, plan: PlanRow, now: Date | null): DaySpan[] {
  const zero = zeroOf(plan.fromOn);
  const nowMinutes = now === null ? -Infinity : (now.getTime() - zero) / 60_000;
  // A day more at either end: the calendars of site and technician may differ.
  return datesFrom(dateAfter(plan.fromOn, -1), plan.days + 2).flatMap((on) =>
    (site.windows.length === 0 ? [{ opensAt: '00:00', closesAt: '24:00' }] : site.windows.filter(({ weekday }) => weekday === weekdayOf(on)))
      .map(({ opensAt, closesAt }) => ({ on, from: minutesAt(zero, on, opensAt, site.timeZone), to: minutesAt(zero, on, closesAt, site.timeZone) }))
      .filter(({ to }) => to > nowMinutes)
      .map((span) => ({ ...span, from: Math.max(span.from, nowMinutes) })),
  );
}

function noticesOf(plan: PlanRow, { crew, sites, visits, demand }: Parts): PlanNotice[] {
  const notices: PlanNotice[] = [];
  if (visits.length === 0) notices.push({ code: 'nothing-to-do', facts: {} });
  for (const { name, shifts } of crew) if (shifts.length === 0) notices.push({ code: 'technician-without-shift', facts: { technician: name } });
  for (const siteId of new Set(visits.filter(({ noPlace }) => noPlace).map((visit) => visit.siteId))) {
    notices.push({ code: 'site-without-place', facts: { site: sites.get(siteId)?.name ?? siteId } });
  }
  const overdue = demand.filter((one) => one.kind === 'safety' && overdueDays(one, plan.fromOn) > 0).length;
  if (overdue > 0) notices.push({ code: 'safety-overdue', facts: { items: overdue } });
  return notices;
}
