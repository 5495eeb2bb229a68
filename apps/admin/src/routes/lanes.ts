import { TZDate } from '@date-fns/tz';
import type { PlanRoute, PlanVisit, RoutePlanDetail } from '@lintel/contract';
import type { PlannedRoute } from '@lintel/engine';

/** Minutes after midnight of the lane's day, by the clock where the technician lives. */
export type ClockMinutes = number;

export interface LaneStop {
  visit: PlanVisit;
  /** 1: first. */
  number: number;
  departs: ClockMinutes;
  arrives: ClockMinutes;
  starts: ClockMinutes;
  leaves: ClockMinutes;
  /** The latest start that keeps everything after it. */
  slackTo: ClockMinutes;
}

/** One technician's day. */
export interface Lane {
  key: string;
  route: PlanRoute;
  zone: string;
  from: ClockMinutes;
  to: ClockMinutes;
  stops: LaneStop[];
  /** Back at home. */
  home: ClockMinutes | null;
}

export const laneKey = (technicianId: string, shift: number): string => `${technicianId}/${shift}`;
/** The lane of what is not served. */
export const OUT = 'out';

export function clockMinutes(instant: string, onDate: string, zone: string): ClockMinutes {
  const local = new TZDate(Date.parse(instant), zone);
  const days = (Date.UTC(local.getFullYear(), local.getMonth(), local.getDate()) - Date.parse(`${onDate}T00:00:00Z`)) / 86_400_000;
  return days * 1440 + local.getHours() * 60 + local.getMinutes() + local.getSeconds() / 60;
}

/** `08:05`; the day after is said. */
export function clockWord(minutes: ClockMinutes): string {
  const whole = Math.round(minutes);
  const day = Math.floor(whole / 1440);
  const rest = whole - day * 1440;
  const two = (value: number) => String(value).padStart(2, '0');
  const time = `${two(Math.floor(rest / 60))}:${two(rest % 60)}`;
  return day === 0 ? time : `${time} (${day > 0 ? 'next day' : 'day before'})`;
}

/** The lanes of a plan, by technician and day. `zoneOf`: the zone of a technician's home. */
export function lanesOf(plan: Pick<RoutePlanDetail, 'routes' | 'visitList'>, zoneOf: (technicianId: string) => string): Lane[] {
  const visits = new Map(plan.visitList.map((visit) => [visit.id, visit]));
  const lanes = plan.routes.map((route): Lane => {
    const zone = zoneOf(route.technicianId);
    const at = (instant: string) => clockMinutes(instant, route.onDate, zone);
    const stops = route.visitIds.flatMap((id, index) => {
      const visit = visits.get(id);
      if (!visit || visit.arriveAt === null || visit.startAt === null || visit.leaveAt === null) return [];
      const arrives = at(visit.arriveAt);
      const starts = at(visit.startAt);
      return [{ visit, number: index + 1, departs: arrives - (visit.travelMinutes ?? 0), arrives, starts, leaves: at(visit.leaveAt), slackTo: starts + (visit.slackMinutes ?? 0) }];
    });
    return { key: laneKey(route.technicianId, route.shift), route, zone, from: at(route.shiftFrom), to: at(route.shiftTo), stops, home: route.endAt === null ? null : at(route.endAt) };
  });
  return lanes.sort((a, b) => a.route.technicianName.localeCompare(b.route.technicianName, 'en') || a.route.technicianId.localeCompare(b.route.technicianId) || a.route.shift - b.route.shift);
}

export interface Scale {
  from: ClockMinutes;
  to: ClockMinutes;
}
/** Per cent of a lane's width at a time. */
export const shareOf = (minutes: ClockMinutes, { from, to }: Scale): number => ((minutes - from) / (to - from)) * 100;
/** Element that says what the keys do. */
export const keysId = 'route-keys';

/** Whole hours that hold all lanes shown. */
export function axisOf(lanes: readonly Lane[]): Scale {
  const from = Math.min(480, ...lanes.map((lane) => Math.min(lane.from, ...lane.stops.map(({ departs }) => departs))));
  const to = Math.max(960, ...lanes.map((lane) => Math.max(lane.to, lane.home ?? 0)));
  return { from: Math.floor(from / 60) * 60, to: Math.ceil(to / 60) * 60 };
}

/** The routes as the engine takes them. */
export function plannedRoutes(plan: Pick<RoutePlanDetail, 'routes'>): PlannedRoute[] {
  return plan.routes.filter(({ visitIds }) => visitIds.length > 0).map(({ technicianId, shift, visitIds }) => ({ technician: technicianId, shift, stops: visitIds }));
}
