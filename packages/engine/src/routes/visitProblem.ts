import type { CivilDate } from '../upkeep/types.js';
import type { RouteProblem, RouteShiftPrice, RouteSlot, RouteSpan, RouteStop } from './types.js';
import { leftOutPrice, visitDayPrice, type DayPricing } from './visitPrices.js';
import type { VisitItem, VisitPrices } from './visitTypes.js';

/** A span of one day, in minutes from the start of the plan; the day by the calendar of whoever it belongs to. */
export interface DaySpan extends RouteSpan {
  on: CivilDate;
}

export interface PlacedVisit {
  id: string;
  /** Index of the site in the matrices. */
  place: number;
  items: readonly VisitItem[];
  minutes: number;
  skills: readonly string[];
  notBefore: CivilDate | null;
  /** When work may begin at the site. */
  windows: readonly DaySpan[];
  loadKg?: number;
  /** Stays on this technician's day; with two shifts on it, in the one in which it begins. */
  fixed?: { technician: string; on: CivilDate; startMinutes?: number };
  /** Was announced for this technician's day: anywhere else costs. */
  announced?: { technician: string; on: CivilDate };
}

export interface PlanTechnician {
  id: string;
  home: number;
  skills: readonly string[];
  vanLoadKg?: number;
  shifts: readonly DaySpan[];
}

export interface VisitProblem {
  visits: readonly PlacedVisit[];
  technicians: readonly PlanTechnician[];
  minutes: readonly (readonly number[])[];
  km: readonly (readonly number[])[];
  /** The first day of the plan, and the first one after it. */
  since: CivilDate;
  nextOn: CivilDate;
  prices: VisitPrices;
}

/**
 * The routing problem of a plan: what each visit costs on each day (lateness, life thrown away, moved after it was
 * announced), and what leaving it out costs. Prices are minor units. O(visits · (shifts + windows) + places²).
 */
export function routeProblemOf({ visits, technicians, minutes, km, since, nextOn, prices }: VisitProblem): RouteProblem {
  const slots = technicians.flatMap(({ id, shifts }) => shifts.map(({ on, from }, shift) => ({ technician: id, shift, on, from })));
  const limited = technicians.some(({ vanLoadKg }) => vanLoadKg !== undefined);
  const costs = minutes.map((row, from) => row.map((one, to) => one * prices.perMinute + km[from]![to]! * prices.perKm));
  /** Work that is left out is done later: on a trip of its own from the nearest home, which leaving it out does not save. */
  const laterTrip = (place: number): number =>
    Math.min(...technicians.map(({ home }) => costs[home]![place]! + costs[place]![home]!)) + prices.route + prices.trip;
  return {
    travelMinutes: minutes,
    travelCost: costs,
    technicians: technicians.map(({ id, home, skills, vanLoadKg, shifts }) => ({
      id,
      home,
      skills,
      shifts: shifts.map(({ from, to }) => ({ from, to })),
      fixedCost: prices.route,
      ...(limited ? { capacity: [vanLoadKg ?? Number.MAX_SAFE_INTEGER] } : {}),
    })),
    stops: visits.map((visit) => stopOf(visit, slots, { since, nextOn, prices, limited, later: technicians.length === 0 ? 0 : laterTrip(visit.place) })),
  };
}

type DatedSlot = RouteSlot & { on: CivilDate; from: number };
interface Rules extends DayPricing {
  nextOn: CivilDate;
  limited: boolean;
  /** Of a trip of its own at another time. */
  later: number;
}

function stopOf(visit: PlacedVisit, slots: readonly DatedSlot[], rules: Rules): RouteStop {
  const { nextOn, prices, limited, later } = rules;
  const fixed = visit.fixed && fixedSlot(visit.fixed, slots);
  const { notBefore } = visit;
  const open = visit.windows.filter(({ on }) => notBefore === null || on >= notBefore || fixed !== undefined);
  return {
    id: visit.id,
    place: visit.place,
    minutes: visit.minutes,
    skills: visit.skills,
    // Without any window left the stop fits nowhere; an empty list would mean at any time.
    windows: open.length > 0 ? open.map(({ from, to }) => ({ from, to })) : [{ from: -1e9, to: -1e9 }],
    ...(limited ? { load: [visit.loadKg ?? 0] } : {}),
    unservedPrice: later + leftOutPrice(visit.items, nextOn, rules) + (visit.announced ? prices.movedVisit : 0),
    ...(fixed ? { fixed: { technician: fixed.technician, shift: fixed.shift } } : {}),
    shiftPrices: slots.flatMap((slot) => slotPrice(visit, slot, rules)),
  };
}

/** The shift that a visit is fixed to: of two on one day the one in which it began. */
function fixedSlot({ technician, on, startMinutes }: NonNullable<PlacedVisit['fixed']>, slots: readonly DatedSlot[]): DatedSlot | undefined {
  const ofDay = slots.filter((slot) => slot.technician === technician && slot.on === on);
  return ofDay.findLast(({ from }) => startMinutes !== undefined && from <= startMinutes) ?? ofDay[0];
}

function slotPrice(visit: PlacedVisit, { technician, shift, on }: DatedSlot, pricing: DayPricing): RouteShiftPrice[] {
  const { late, early } = visitDayPrice(visit.items, on, pricing);
  const { prices } = pricing;
  const stays = visit.announced === undefined || (visit.announced.technician === technician && visit.announced.on === on);
  const price = late + early + prices.trip + (stays ? 0 : prices.movedVisit);
  return price > 0 ? [{ technician, shift, price }] : [];
}
