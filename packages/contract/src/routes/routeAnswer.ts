import { z } from 'zod';

const scheduledStop = z.strictObject({ id: z.string(), arrive: z.number(), start: z.number(), leave: z.number() });

/** A plan as it is printed: times in minutes from the start of the horizon; routes without a stop are not listed. */
export const routeAnswer = z.strictObject({
  cost: z.number(),
  travel: z.number(),
  unserved: z.array(
    z.strictObject({ id: z.string(), reason: z.enum(['no-skill', 'load', 'no-hours', 'window', 'price']) }),
  ),
  routes: z.array(
    z.strictObject({
      technician: z.string(),
      shift: z.int(),
      stops: z.array(scheduledStop),
      end: z.number(),
    }),
  ),
  iterations: z.int(),
  seconds: z.number(),
});

export type RouteAnswer = z.infer<typeof routeAnswer>;
