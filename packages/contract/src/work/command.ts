import { z } from 'zod';
import { partKind } from '../fleet/partKinds.js';
import { id, instant, instantGiven, line, text } from '../shared/fields.js';
import { stepAnswer, stepId } from './step.js';
import { commandOutcome, findingSeverity, mostCommands, workRefusal, workTimeKind } from './words.js';

/** An answer to a step. `baseId`: the answer that stood there as far as the giver knew; `settlesId`: the contradiction it ends. */
export const answerGiven = z.strictObject({
  stepId,
  answer: stepAnswer,
  baseId: id.nullable().exactOptional(),
  settlesId: id.nullable().exactOptional(),
}).meta({ id: 'AnswerGiven' });
export type AnswerGiven = z.infer<typeof answerGiven>;

/** Its photographs go up before it, as images of its order or door. */
export const findingGiven = z.strictObject({
  id: id.describe('Made by the one who found it'),
  severity: findingSeverity,
  text: text.min(1),
  stepId: stepId.exactOptional(),
  positionId: id.exactOptional(),
  photoIds: z.array(id).max(50).exactOptional(),
}).meta({ id: 'FindingGiven' });
export type FindingGiven = z.infer<typeof findingGiven>;

export const timeGiven = z.strictObject({
  kind: workTimeKind,
  minutes: z.int().min(1).max(1440),
  startedAt: instantGiven,
});
export const partUsed = z.strictObject({
  kind: partKind,
  code: line.min(1).exactOptional(),
  name: line.min(1).exactOptional(),
  quantity: z.int().min(1).max(1000),
  positionId: id.exactOptional(),
});
/** The image of the signature goes up before it. */
export const signatureGiven = z.strictObject({ imageId: id, signerName: line.min(1) });
export const completeGiven = z.strictObject({ passed: z.boolean() });

/** What a technician does with an order. */
export const technicianCommand = z.discriminatedUnion('command', [
  z.strictObject({ command: z.literal('start') }),
  answerGiven.extend({ command: z.literal('answer') }),
  z.strictObject({ command: z.literal('report'), finding: findingGiven }),
  completeGiven.extend({ command: z.literal('complete') }),
  timeGiven.extend({ command: z.literal('record-time') }),
  partUsed.extend({ command: z.literal('use-part') }),
  signatureGiven.extend({ command: z.literal('sign') }),
]).meta({ id: 'TechnicianCommand' });
export type TechnicianCommand = z.infer<typeof technicianCommand>;

/** A command as it waits on a device: `id` is made there and is also the id of the answer it makes; `madeAt` by the device's clock. */
export const deviceCommand = z.strictObject({
  id,
  madeAt: instantGiven,
  orderId: id,
  // Checked by itself: one that cannot be read is refused, and those behind it go in.
  command: z.unknown().meta({ $ref: '#/components/schemas/TechnicianCommand' }),
}).meta({ id: 'DeviceCommand' });
/** With the command still to be read. */
export type DeviceCommand = z.infer<typeof deviceCommand>;

export const deviceCommands = z.strictObject({
  /** What the device calls itself. */
  device: line.min(1),
  commands: z.array(deviceCommand).min(1).max(mostCommands),
}).meta({ id: 'DeviceCommands' });
export type DeviceCommands = z.infer<typeof deviceCommands>;

export const commandAnswer = z.object({
  id,
  outcome: commandOutcome,
  /** It was known already; this is the answer of the first time. */
  repeated: z.boolean(),
  refusal: workRefusal.nullable(),
  /** The order's version after it. */
  orderVersion: z.int().nullable(),
}).meta({ id: 'CommandAnswer' });
export type CommandAnswer = z.infer<typeof commandAnswer>;

/** In the order of the commands. */
export const commandAnswers = z.object({ serverTime: instant, answers: z.array(commandAnswer) }).meta({ id: 'CommandAnswers' });
export type CommandAnswers = z.infer<typeof commandAnswers>;
