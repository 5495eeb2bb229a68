import { z } from 'zod';

/** Ten minutes at 1 kHz: far more than any closing takes. */
export const MOST_FORCE_SAMPLES = 600_000;

export const forceSample = z.strictObject({ ms: z.number(), newton: z.number() }).meta({ id: 'ForceSample' });

/** A force–time curve as a gauge records it: times in milliseconds from any origin, rising; forces in newton. */
export const forceCurve = z.array(forceSample).min(2).max(MOST_FORCE_SAMPLES).superRefine((samples, context) => {
  const index = samples.findIndex(({ ms }, at) => at > 0 && ms <= samples[at - 1]!.ms);
  if (index > 0) context.addIssue({ code: 'custom', path: [index, 'ms'], message: 'must be later than the sample before' });
}).meta({ id: 'ForceCurve' });
export type ForceCurve = z.infer<typeof forceCurve>;
