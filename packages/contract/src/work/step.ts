import type { StepAnswer, StepValue, WorkStep } from '@lintel/engine';
import { z } from 'zod';
import { removalReason } from '../fleet/fittedPart.js';
import { forceCurve } from '../safety/forceCurve.js';
import { civilDate, cycles, id, line, text } from '../shared/fields.js';

/** A step's name within its order. */
export const stepId = z.string().min(1).max(120);
const remark = text.exactOptional();

/** One step of a released order: the engine's, whole; each kind has further fields. */
export const workStep = z.looseObject({
  id: stepId,
  kind: z.enum(['confirm', 'measure', 'choose', 'photograph', 'read-counter', 'test-device', 'force-test', 'fit-part', 'text']),
  text: z.string(),
  /** What has to happen for the step to pass. */
  help: z.string().optional(),
  source: z.string().optional(),
  optional: z.boolean().optional(),
}).meta({ id: 'WorkStep' }) as unknown as z.ZodType<WorkStep>;

/** What a step holds once its answer was accepted: the engine's, whole. */
export const stepValue = z.looseObject({
  kind: z.string(),
  outcome: z.enum(['passed', 'failed', 'recorded']),
  remark: z.string().optional(),
}).meta({ id: 'StepValue' }) as unknown as z.ZodType<StepValue>;

/** A gauge as its papers describe it, and its calibration. */
export const stepGauge = z.strictObject({
  samplingHertz: z.number(),
  accuracyPercent: z.number(),
  rangeFromNewton: z.number(),
  rangeToNewton: z.number(),
  springNewtonPerMm: z.number(),
  discMm: z.number(),
  calibratedOn: civilDate.exactOptional(),
  calibrationDueOn: civilDate.exactOptional(),
});

const facts = z.record(z.string(), z.union([z.number(), z.string(), z.array(z.string())]));
/** One reading at a measuring point: its figures, and what its record lacks as evidence. */
export const stepReading = z.strictObject({
  heightMm: z.number(),
  across: z.enum(['left', 'middle', 'right']),
  figures: z.strictObject({ peakNewton: z.number(), dynamicMs: z.number(), staticNewton: z.number(), residualNewton: z.number() }),
  shortfalls: z.array(z.strictObject({
    code: z.enum([
      'peak-too-high', 'dynamic-too-long', 'static-too-high', 'residual-too-high', 'no-contact', 'static-phase-not-seen',
      'record-too-short', 'sampling-too-slow', 'samples-missing', 'readings-missing',
    ]),
    facts,
  })).max(20),
  /** As the gauge recorded it: evidence for the figures. */
  curve: forceCurve.exactOptional(),
});

/** What a technician enters at a step. */
export const stepAnswer = z.discriminatedUnion('kind', [
  z.strictObject({ kind: z.literal('confirm'), confirmed: z.boolean(), remark }),
  z.strictObject({ kind: z.literal('measure'), value: z.number(), unit: z.string().max(20), remark }),
  z.strictObject({ kind: z.literal('choose'), choice: line, remark }),
  z.strictObject({ kind: z.literal('photograph'), photoIds: z.array(id).max(50), remark }),
  z.strictObject({ kind: z.literal('read-counter'), value: cycles, remark }),
  z.strictObject({ kind: z.literal('test-device'), passed: z.boolean(), remark }),
  z.strictObject({
    kind: z.literal('force-test'), readings: z.array(stepReading).max(200), gauge: stepGauge, usedOn: civilDate,
    /** Which gauge it was, where the company keeps it among its instruments. */
    instrumentId: id.exactOptional(), remark,
  }),
  z.strictObject({
    kind: z.literal('fit-part'),
    removed: z.strictObject({ reason: removalReason, serial: line.exactOptional() }).exactOptional(),
    fitted: z.strictObject({ serial: line.exactOptional(), ageCycles: cycles.exactOptional() }).exactOptional(),
    remark,
  }),
  z.strictObject({ kind: z.literal('text'), text, remark }),
]).meta({ id: 'StepAnswer' }) satisfies z.ZodType<StepAnswer>;
