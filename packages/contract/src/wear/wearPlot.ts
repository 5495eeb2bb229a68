import { z } from 'zod';
import { id } from '../shared/fields.js';

const interval = z.tuple([z.number(), z.number()]);

/** What a model's charts are drawn from; all ages in the model's unit. */
export const wearPlot = z.object({
  /** Failures by median ranks adjusted for suspensions. */
  failures: z.array(z.object({ age: z.number(), share: z.number() })),
  /** Ages of lives that had not failed, some of them where there are many. */
  suspensions: z.array(z.number()),
  /** Kaplan–Meier: the share that lives beyond each age, give or take two standard errors. */
  survival: z.array(z.object({ age: z.number(), share: z.number(), low: z.number(), high: z.number() })),
  /** The law in use: age by which a share has failed, and between which ages nine laws in ten put it. */
  learned: z.array(z.object({ share: z.number(), age: z.number(), low: z.number(), high: z.number() })),
  /** The rating's own law. */
  rated: z.array(z.object({ share: z.number(), age: z.number() })),
  /** How many times as long the kind of part lives in a freezer as elsewhere, with its interval of 95 %; null: the lives do not say. */
  freezer: z.object({ factor: z.number(), low: z.number(), high: z.number() }).nullable(),
});
export type WearPlot = z.infer<typeof wearPlot>;

const law = z.object({ logLikelihood: z.number(), akaike: z.number() });

/** By maximum likelihood, from the lives alone; intervals of 95 %. */
export const wearFit = z.object({
  shape: z.number(),
  scale: z.number(),
  shapeInterval: interval,
  scaleInterval: interval,
  b10: z.number(),
  b10Interval: interval,
  akaike: z.number(),
  exponential: law.extend({ mean: z.number() }),
  lognormal: law.extend({ mean: z.number(), deviation: z.number() }).nullable(),
  /** Chance of as much sign of wear-out by luck, were there none. */
  wearOutPValue: z.number(),
  better: z.enum(['weibull', 'lognormal']),
});
export type WearFit = z.infer<typeof wearFit>;

/** `age` in the model's unit; costs in minor units of the currency, rates per unit of age. */
export const renewalPlanView = z.object({
  /** Replacement age of least cost; null: run to failure. */
  age: z.number().nullable(),
  costRate: z.number().nullable(),
  toFailure: z.number(),
  /** Why there is no such age. */
  none: z.enum(['run-to-failure', 'failure-no-dearer']).nullable(),
});
export type RenewalPlanView = z.infer<typeof renewalPlanView>;

export const positionCosts = z.object({ plannedCost: z.number(), failureCost: z.number(), currency: z.string() });
export type PositionCosts = z.infer<typeof positionCosts>;

/** All that a model's page shows beside the model itself. */
export const wearAnalysis = z.object({
  plot: wearPlot,
  fit: wearFit.nullable(),
  /** Null where the position has no costs. */
  renewal: z.object({
    costs: positionCosts,
    plan: renewalPlanView,
    curve: z.array(z.object({ age: z.number(), costRate: z.number() })),
  }).nullable(),
}).meta({ id: 'WearAnalysis' });
export type WearAnalysis = z.infer<typeof wearAnalysis>;

/** What to do with one fitted part while somebody is at the door, in money. */
export const partRenewal = z.object({
  fittedPartId: id,
  positionId: id,
  unit: z.enum(['cycles', 'days']),
  age: z.number(),
  costs: positionCosts,
  plan: renewalPlanView,
  visit: z.object({
    decision: z.enum(['replace', 'leave']),
    daysToNext: z.number(),
    /** Chance of failing before the next visit. */
    chance: z.number(),
    /** Expected extra cost of that, and the worth of the life thrown away by replacing now; minor units. */
    riskCost: z.number(),
    lifeCost: z.number(),
  }),
});
export type PartRenewal = z.infer<typeof partRenewal>;

/** The renewals of a door, for the parts that have an outlook and costs. */
export const doorRenewals = z.object({
  /** When the door is next seen to after this visit; null: nothing is due, a half year is taken. */
  nextVisitOn: z.iso.date().nullable(),
  items: z.array(partRenewal),
}).meta({ id: 'DoorRenewals' });
export type DoorRenewals = z.infer<typeof doorRenewals>;
