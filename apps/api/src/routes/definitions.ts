import {
  absence, absenceChange, absenceCreate, absenceList, absenceRules, calendarFeed, calendarFeedList, publishedVisit, publishedVisitList, routePlan,
  routePlanList, siteWindow, siteWindowChange, siteWindowCreate, siteWindowList, siteWindowRules, technician, technicianChange, technicianCreate, technicianList, travelTime,
  travelTimeList,
} from '@lintel/contract';
import { date, toPrisma } from '../platform/resource/codecs.js';
import type { ReadDefinition, WriteDefinition } from '../platform/resource/definition.js';
import { invalidField } from '../platform/refusal.js';

const room = 'routes';

export const technicians: WriteDefinition = {
  path: 'technicians', room, resource: 'technicians', subject: 'technician', view: 'technician_list', record: technician, list: technicianList,
  search: ['name', 'email'], ownField: 'id',
  model: 'technician',
  create: {
    schema: technicianCreate,
    async act(db, { companyId }, { accountId, ...given }) {
      const id = accountId as string;
      const account = await db.account.findFirst({ where: { id, role: 'technician' }, select: { technician: { select: { id: true } } } });
      if (account === null) throw invalidField('accountId', 'there is no technician of this account here');
      if (account.technician !== null) throw invalidField('accountId', 'this account has a profile already');
      await db.technician.create({ data: { ...toPrisma(given), companyId, id } as never });
      return id;
    },
  },
  change: { schema: technicianChange },
  archive: { usedBy: async () => null },
};

const absenceCodecs = { fromOn: date, toOn: date };
export const absences: WriteDefinition = {
  path: 'absences', room, resource: 'absences', subject: 'absence', view: 'technician_absence_list', record: absence, list: absenceList,
  search: [], ownField: 'technicianId',
  model: 'technicianAbsence',
  codecs: absenceCodecs,
  create: { schema: absenceCreate },
  change: { schema: absenceChange, rules: absenceRules },
  archive: { usedBy: async () => null },
};

export const siteWindows: WriteDefinition = {
  path: 'site-windows', room, resource: 'site-windows', subject: 'site-window', view: 'site_window_list', record: siteWindow, list: siteWindowList,
  search: [],
  model: 'siteWindow',
  create: { schema: siteWindowCreate },
  change: { schema: siteWindowChange, rules: siteWindowRules },
  archive: { usedBy: async () => null },
};

export const routePlans: ReadDefinition = {
  path: 'route-plans', room, resource: 'route-plans', subject: 'route-plan', view: 'route_plan_list', record: routePlan, list: routePlanList,
  search: ['name'],
  filterBy: { state: { column: 'stateWord' } },
};

/** Visits that were published: a technician's own, a facility owner's those to its own sites. */
export const visits: ReadDefinition = {
  path: 'visits', room, resource: 'visits', subject: 'visit', view: 'published_visit_list', record: publishedVisit, list: publishedVisitList,
  search: ['siteName', 'technicianName'], ownField: 'technicianId',
};

/** The company's own list of travel times. */
export const travelTimes: ReadDefinition = {
  path: 'travel-times', room, resource: 'travel-times', subject: 'travel-time', view: 'travel_given_list', record: travelTime, list: travelTimeList,
  search: ['fromName', 'toName'],
};

export const calendarFeeds: ReadDefinition = {
  path: 'calendar-feeds', room, resource: 'calendar-feeds', subject: 'calendar-feed', view: 'calendar_feed_list', record: calendarFeed, list: calendarFeedList,
  search: [], ownField: 'technicianId',
};
