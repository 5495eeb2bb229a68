import type { ForceGauge, GaugeReasonCode } from '@lintel/engine';
import { z } from 'zod';
import { checkedBy, civilDate, type FieldError, id, instant, line, name, text, version } from '../shared/fields.js';
import { flag, type ListWords } from '../shared/list.js';

export const instrumentKind = z.enum(['force-gauge', 'multimeter', 'voltage-tester', 'other']);
export type InstrumentKindWord = z.infer<typeof instrumentKind>;

/** By the newest calibration that stands; `due-soon`: good for 60 days more at most. */
export const calibrationState = z.enum(['never', 'out-of-date', 'due-soon', 'in-date']);
export type CalibrationStateWord = z.infer<typeof calibrationState>;

/** The figures of a force gauge, all of them or none: the engine's names. */
export const gaugeFields = ['samplingHertz', 'accuracyPercent', 'rangeFromNewton', 'rangeToNewton', 'springNewtonPerMm', 'discMm'] as const satisfies
  readonly (keyof ForceGauge)[];

export const gaugeReasonCode = z.enum([
  'sampling-too-slow', 'accuracy-too-coarse', 'range-starts-too-high', 'range-ends-too-low', 'spring-differs', 'disc-differs',
  'calibration-unknown', 'calibration-in-future', 'calibration-expired',
]) satisfies z.ZodType<GaugeReasonCode>;

/** What a test is measured with, and how its calibration stands. */
export const instrument = z.object({
  id,
  kind: instrumentKind,
  name: z.string(),
  maker: z.string().nullable(),
  model: z.string().nullable(),
  serial: z.string().nullable(),
  note: z.string().nullable(),
  samplingHertz: z.number().nullable(),
  accuracyPercent: z.number().nullable(),
  rangeFromNewton: z.number().nullable(),
  rangeToNewton: z.number().nullable(),
  springNewtonPerMm: z.number().nullable(),
  discMm: z.number().nullable(),
  /** Of the newest calibration that stands; null: never calibrated. */
  calibratedOn: civilDate.nullable(),
  dueOn: civilDate.nullable(),
  laboratory: z.string().nullable(),
  certificateNumber: z.string().nullable(),
  /** The last day on which it may be used: `dueOn`, of a force gauge at most the interval of the limits in use. */
  goodThrough: civilDate.nullable(),
  calibration: calibrationState,
  archived: z.boolean(),
  archivedAt: instant.nullable(),
  version,
}).meta({ id: 'Instrument' });
export type Instrument = z.infer<typeof instrument>;

const figure = z.number().positive().max(1_000_000).nullable().optional();
const fields = {
  kind: instrumentKind,
  name,
  maker: line.nullable().optional(),
  model: line.nullable().optional(),
  serial: line.nullable().optional(),
  note: text.nullable().optional(),
  samplingHertz: figure,
  accuracyPercent: z.number().positive().max(100).nullable().optional(),
  rangeFromNewton: z.number().min(0).max(1_000_000).nullable().optional(),
  rangeToNewton: figure,
  springNewtonPerMm: figure,
  discMm: figure,
};

type InstrumentRuled = { kind?: string | undefined } & { [Field in (typeof gaugeFields)[number]]?: number | null | undefined };

/** A force gauge has every figure of one, another instrument none; its range goes upwards. */
export function instrumentRules(given: InstrumentRuled): FieldError[] {
  const isGauge = given.kind === 'force-gauge';
  const errors = gaugeFields.filter((field) => (given[field] == null) === isGauge)
    .map((field) => ({ field, message: isGauge ? 'is needed for a force gauge' : 'is for a force gauge alone' }));
  const { rangeFromNewton, rangeToNewton } = given;
  if (rangeFromNewton != null && rangeToNewton != null && rangeFromNewton >= rangeToNewton) {
    errors.push({ field: 'rangeToNewton', message: 'must be above the start of the range' });
  }
  return errors;
}

export const instrumentCreate = z.strictObject(fields).superRefine(checkedBy<InstrumentRuled>(instrumentRules)).meta({ id: 'InstrumentCreate' });
/** The kind stays: calibrations and tests were recorded under it. */
export const instrumentChange = z.strictObject(fields).omit({ kind: true }).partial().meta({ id: 'InstrumentChange' });
export type InstrumentCreate = z.infer<typeof instrumentCreate>;
export type InstrumentChange = z.infer<typeof instrumentChange>;

export const instrumentList: ListWords = {
  filters: { id, kind: instrumentKind, calibration: calibrationState, archived: flag },
  ranges: { goodThrough: 'date' },
  // `urgency` is by goodThrough, with those never calibrated first.
  sorts: ['urgency', 'name', 'kind', 'maker', 'calibratedOn', 'goodThrough'],
  defaultSort: 'urgency',
  search: true,
};

/** One calibration: a fact. Withdrawn: it was entered in error and counts no more. */
export const calibration = z.object({
  id,
  instrumentId: id,
  instrumentName: z.string(),
  calibratedOn: civilDate,
  /** The last day on which it is good by its certificate. */
  dueOn: civilDate,
  laboratory: z.string(),
  certificateNumber: z.string().nullable(),
  note: z.string().nullable(),
  accountId: id.nullable(),
  accountName: z.string().nullable(),
  recordedAt: instant,
  withdrawn: z.boolean(),
  withdrawnAt: instant.nullable(),
  withdrawnByName: z.string().nullable(),
  withdrawnReason: z.string().nullable(),
}).meta({ id: 'Calibration' });
export type Calibration = z.infer<typeof calibration>;

interface CalibrationRuled {
  calibratedOn: string;
  dueOn: string;
}

/** On the day after it at the soonest. That it lies in the past is for the API to say, which knows the day. */
export function calibrationRules({ calibratedOn, dueOn }: CalibrationRuled): FieldError[] {
  return dueOn > calibratedOn ? [] : [{ field: 'dueOn', message: 'must lie after the day of calibration' }];
}

export const calibrationCreate = z.strictObject({
  instrumentId: id,
  calibratedOn: civilDate,
  dueOn: civilDate,
  laboratory: line.min(1),
  certificateNumber: line.nullable().optional(),
  note: text.nullable().optional(),
}).superRefine(checkedBy<CalibrationRuled>(calibrationRules)).meta({ id: 'CalibrationCreate' });
export type CalibrationCreate = z.infer<typeof calibrationCreate>;

/** Why a calibration counts no more. */
export const calibrationWithdraw = z.strictObject({ reason: line.min(1) }).meta({ id: 'CalibrationWithdraw' });
export type CalibrationWithdraw = z.infer<typeof calibrationWithdraw>;

export const calibrationList: ListWords = {
  filters: { id, instrumentId: id, withdrawn: flag },
  ranges: { calibratedOn: 'date', dueOn: 'date' },
  sorts: ['calibratedOn', 'dueOn', 'instrumentName', 'recordedAt'],
  defaultSort: '-calibratedOn',
  search: false,
};

/** A day in the site's calendar; left out: today in UTC. */
export const onDay = z.strictObject({ on: civilDate.optional() });
export type OnDay = z.infer<typeof onDay>;

const facts = z.record(z.string(), z.union([z.number(), z.string(), z.array(z.string())]));
/** Why a force gauge may not be used for a force test on a day, by the limits in use: empty if it may. */
export const instrumentFitness = z.object({
  on: civilDate,
  reasons: z.array(z.object({ code: gaugeReasonCode, facts })),
}).meta({ id: 'InstrumentFitness' });
export type InstrumentFitness = z.infer<typeof instrumentFitness>;
