import { z } from 'zod';
import { id, instant, instantGiven, share } from '../shared/fields.js';
import { faultKind } from './faultCode.js';

/** Days after a repair within which the same fault counts as a repeat. */
export const repeatDays = 30;
/** A part change so many days after a fault of its kind is taken for its repair. Common practice, no source. */
export const repairWithinDays = 14;
/** Days that a summary looks at unless told otherwise, and at most. */
export const usualFaultDays = 365;
export const mostFaultDays = 3660;
/** Most lines of each list of a summary; the counts are of all. */
export const summaryLines = 50;
/** A trend is computed for so many doors at most, those with most faults first. */
export const mostTrends = 100;
/** Most doors of a pool. */
export const mostPoolDoors = 5000;

const ids = z.string().max(4000).transform((text, context): string[] => {
  const words = text.split(',');
  const wrong = words.find((word) => !id.safeParse(word).success);
  if (wrong !== undefined) context.addIssue('is not an id');
  if (words.length > 100) context.addIssue('at most 100 values');
  return words.map((word) => word.toLowerCase());
});

const places = { ownerId: ids.optional(), siteId: ids.optional(), doorTypeId: ids.optional() };

/** Which faults a summary is of. */
export const faultSummaryQuery = z.strictObject({
  ...places,
  doorId: ids.optional(),
  faultCodeId: ids.optional(),
  kind: z.string().max(200).transform((text, context) => text.split(',').flatMap((word) => {
    const parsed = faultKind.safeParse(word);
    if (!parsed.success) context.addIssue(`'${word.slice(0, 40)}' is no kind of fault`);
    return parsed.success ? [parsed.data] : [];
  })).optional(),
  /** From this instant on, included; left out: a year before `atTo`. */
  atFrom: instantGiven.optional(),
  /** Up to this instant, included; left out: now. */
  atTo: instantGiven.optional(),
});
export type FaultSummaryQuery = z.infer<typeof faultSummaryQuery>;

/** Which doors are looked at for a trend. */
export const faultPoolQuery = z.strictObject(places);
export type FaultPoolQuery = z.infer<typeof faultPoolQuery>;

/** Faults per 1,000 cycles with their exact 95 % interval; null where the doors made no cycles. */
const rate = z.object({ per1000: z.number(), low: z.number(), high: z.number() }).nullable();
export type FaultRate = z.infer<typeof rate>;

const bar = { count: z.int(), share, cumulativeShare: share, rate };

export const faultSummary = z.object({
  from: instant,
  to: instant,
  faults: z.int(),
  /** Doors looked at, and those of them with a fault. */
  doors: z.int(),
  doorsWithFaults: z.int(),
  /** Cycles of the doors looked at over the time, from their duty. */
  cycles: z.number(),
  rate,
  byCode: z.array(z.object({ faultCodeId: id, code: z.string(), codeName: z.string(), kind: faultKind, ...bar })),
  byKind: z.array(z.object({ kind: faultKind, ...bar })),
  bySite: z.array(z.object({ siteId: id, siteName: z.string(), ...bar })),
  byDoorType: z.array(z.object({ doorTypeId: id, doorTypeName: z.string(), ...bar })),
  byDoor: z.array(z.object({ doorId: id, doorName: z.string(), siteId: id, siteName: z.string(), ...bar })),
  repeats: z.object({
    withinDays: z.int(),
    /** Repairs in the time: changes of a part that failed, wore out or was damaged, soon after a fault of its kind. */
    repairs: z.int(),
    judged: z.int(),
    repeated: z.int(),
    share,
    lines: z.array(z.object({
      doorId: id,
      doorName: z.string(),
      siteName: z.string(),
      code: z.string(),
      codeName: z.string(),
      partName: z.string(),
      repairedAt: instant,
      againAt: instant,
    })),
  }),
}).meta({ id: 'FaultSummary' });
export type FaultSummary = z.infer<typeof faultSummary>;

export const trendVerdict = z.enum(['worse', 'steady', 'better', 'too-little']);
export type TrendWord = z.infer<typeof trendVerdict>;

const trend = z.object({
  verdict: trendVerdict,
  events: z.int(),
  laplace: z.number().nullable(),
  pValue: z.number().nullable(),
  shape: z.number().nullable(),
  intensityScale: z.number().nullable(),
  /** Whether ages are cycles of the door or, where nothing is known of those, days. */
  unit: z.enum(['cycles', 'days']),
  /** Since when the door's faults are recorded: from its installation, or from the first fault recorded at its site. */
  watchedFrom: instant.nullable(),
  watchedTo: instant.nullable(),
});
export type FaultTrend = z.infer<typeof trend>;

export const faultTrends = z.object({
  doors: z.array(z.object({ doorId: id, doorName: z.string(), siteId: id, siteName: z.string(), trend })),
  /** Doors with enough faults for a verdict that were left out, being too many. */
  leftOut: z.int(),
}).meta({ id: 'FaultTrends' });
export type FaultTrends = z.infer<typeof faultTrends>;

/** Mean number of faults of a door against the days that it was watched, with 95 % bounds. */
export const faultCourse = z.object({
  doors: z.int(),
  faults: z.int(),
  unit: z.literal('days'),
  steps: z.array(z.object({ age: z.number(), atRisk: z.int(), mean: z.number(), low: z.number(), high: z.number() })),
  trend: trend.omit({ watchedFrom: true, watchedTo: true }),
}).meta({ id: 'FaultCourse' });
export type FaultCourse = z.infer<typeof faultCourse>;

/** What one door reported, over its counter. */
export const doorFaults = z.object({
  trend,
  /** Oldest first. */
  faults: z.array(z.object({
    id,
    at: instant,
    /** Lifetime cycles then: as recorded, else from the counter's history; null where neither is known. */
    cycles: z.number().nullable(),
    faultCodeId: id,
    code: z.string(),
    codeName: z.string(),
    kind: faultKind,
    note: z.string().nullable(),
  })),
  /** Parts changed because they failed, wore out or were damaged. */
  repairs: z.array(z.object({ at: instant, cycles: z.number().nullable(), partName: z.string(), kind: faultKind })),
  now: z.object({ at: instant, cycles: z.number().nullable() }),
  /** Faults beyond those of the timeline. */
  leftOut: z.int(),
}).meta({ id: 'DoorFaults' });
export type DoorFaults = z.infer<typeof doorFaults>;
