/** A span of time in minutes from the start of the horizon; any real number, both ends included. */
export interface RouteSpan {
  from: number;
  to: number;
}

/** Who may drive. Each shift is one route: it leaves `home` at or after `from` and is at its end at or before `to`. */
export interface RouteTechnician {
  id: string;
  /** Index of a place in the travel matrices. */
  home: number;
  /** Where the route ends; `home` when absent. */
  end?: number;
  skills: readonly string[];
  /** What the van carries, one number a kind of load; no limit when absent. */
  capacity?: readonly number[];
  shifts: readonly RouteSpan[];
  /** Price of each shift that is driven at all. */
  fixedCost?: number;
}

/** Price of starting after `after` (minutes from the start of the horizon), for each minute later. */
export interface RouteLatePrice {
  after: number;
  perMinute: number;
}

/** A route named by its technician and the index of one of the technician's shifts. */
export interface RouteSlot {
  technician: string;
  shift: number;
}

/** Price of serving a stop on one route, whatever the hour: life thrown away by coming early, a visit moved. */
export interface RouteShiftPrice extends RouteSlot {
  price: number;
}

export interface RouteStop {
  id: string;
  /** Index of a place in the travel matrices. */
  place: number;
  /** Service time on site, in minutes. */
  minutes: number;
  /** The technician must have all of them. */
  skills: readonly string[];
  /** What the van must bring for this stop, one number a kind of load; nothing when absent. */
  load?: readonly number[];
  /** Service starts within one of these; at any time when there is none. */
  windows: readonly RouteSpan[];
  latePrice?: RouteLatePrice;
  /** Price of leaving the stop out. Without it the stop is left out only where nobody can serve it. */
  unservedPrice?: number;
  /** The stop stays on this route. */
  fixed?: RouteSlot;
  shiftPrices?: readonly RouteShiftPrice[];
}

/** Who and what there is, and how far apart. Travel need not be symmetric nor obey the triangle inequality. */
export interface RouteProblem {
  /** Minutes from place (row) to place (column); square, none negative. */
  travelMinutes: readonly (readonly number[])[];
  /** Price of going from place to place; the minutes themselves when absent. */
  travelCost?: readonly (readonly number[])[];
  technicians: readonly RouteTechnician[];
  stops: readonly RouteStop[];
}

/** The ids of the stops of one route, in the order of the visits. */
export interface PlannedRoute extends RouteSlot {
  stops: readonly string[];
}

/**
 * Why a stop is left out. `no-skill`: nobody has its skills. `load`: it does not fit into any van that is left.
 * `no-hours`: no shift has the time. `window`: a shift has the time, but not within the stop's windows.
 * `price`: it could be served, at more than its price of being left out.
 */
export type UnservedReason = 'no-skill' | 'load' | 'no-hours' | 'window' | 'price';

export interface UnservedStop {
  id: string;
  reason: UnservedReason;
}

/** Minutes from the start of the horizon. `arrive` ≤ `start`; between them the technician waits. */
export interface ScheduledStop {
  id: string;
  arrive: number;
  start: number;
  leave: number;
}

export interface ScheduledRoute extends RouteSlot {
  stops: ScheduledStop[];
  /** Arrival at the end place. */
  end: number;
}

/** A plan with its times and prices. Routes without a stop are not listed. */
export interface RoutePlan {
  /** Travel, shifts driven, lateness, shift prices, and the prices of priced stops left out. */
  cost: number;
  /** The travel part of `cost`. */
  travel: number;
  unserved: UnservedStop[];
  routes: ScheduledRoute[];
}

/** What is wrong with a problem: the field, a code, and the numbers or names behind it. */
export interface RouteFault {
  path: (string | number)[];
  code:
    | 'not-square'
    | 'not-finite'
    | 'negative'
    | 'no-such-place'
    | 'from-after-to'
    | 'duplicate-id'
    | 'no-such-technician'
    | 'no-such-shift'
    | 'no-such-stop'
    | 'length-differs'
    | 'too-large'
    | 'fixed-cannot-be-kept';
  facts: Record<string, string | number>;
}

export interface RouteFaults {
  faults: RouteFault[];
}
