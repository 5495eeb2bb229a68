import { z } from 'zod';

/** Kinds of maintenance work after EN 13306. */
export const workKind = z.enum(['preventive', 'inspection', 'corrective', 'commissioning']);
export const workState = z.enum(['planned', 'released', 'started', 'completed', 'reviewed', 'cancelled']);
/** Where an order came from. */
export const workOrigin = z.enum(['due', 'finding', 'hand']);
export const findingSeverity = z.enum(['note', 'defect', 'unsafe']);
export const workTimeKind = z.enum(['work', 'travel', 'waiting']);
export const imageKind = z.enum(['photo', 'signature']);
export const imageType = z.enum(['image/jpeg', 'image/png', 'image/webp']);
/** What became of a command: done; not done and why; done, and somebody has to settle a contradiction. */
export const commandOutcome = z.enum(['applied', 'refused', 'contested']);

/** Largest image, bytes: a photograph as a tablet sends it is scaled down to a tenth of that. */
export const mostImageBytes = 4 * 1024 * 1024;
/** Commands in one batch of a device. */
export const mostCommands = 500;
/** Orders released, or made from due items, at once. */
export const mostOrdersAtOnce = 200;

/** Why a command is refused, as a code, and the facts; the pages make the sentence. */
export const workRefusal = z.object({
  code: z.string(),
  facts: z.record(z.string(), z.unknown()),
}).meta({ id: 'WorkRefusal' });
export type WorkRefusalFacts = z.infer<typeof workRefusal>;
