import { checkRouteProblem } from '@lintel/engine';
import type { RouteProblem } from '@lintel/engine';
import { z } from 'zod';
import { routeFaultText } from './routeFaultText.js';

const span = z.strictObject({ from: z.number(), to: z.number() });
const place = z.int().min(0);
const slot = { technician: z.string().min(1), shift: z.int().min(0) };
const vector = z.array(z.number().min(0));
const matrix = z.array(z.array(z.number().min(0)));

const technician = z.strictObject({
  id: z.string().min(1),
  home: place,
  end: place.exactOptional(),
  skills: z.array(z.string()).default([]),
  capacity: vector.exactOptional(),
  shifts: z.array(span),
  fixedCost: z.number().min(0).exactOptional(),
});

const stop = z.strictObject({
  id: z.string().min(1),
  place,
  minutes: z.number().min(0),
  skills: z.array(z.string()).default([]),
  load: vector.exactOptional(),
  windows: z.array(span).default([]),
  latePrice: z.strictObject({ after: z.number(), perMinute: z.number().min(0) }).exactOptional(),
  unservedPrice: z.number().min(0).exactOptional(),
  fixed: z.strictObject(slot).exactOptional(),
  shiftPrices: z.array(z.strictObject({ ...slot, price: z.number().min(0) })).exactOptional(),
});

/**
 * A routing problem as it stands in a file: times in minutes from the start of the horizon, any real number. Unknown
 * words are refused, because a misspelt optional field would change the plan without a sound.
 */
export const routeProblem = z
  .strictObject({
    travelMinutes: matrix,
    travelCost: matrix.exactOptional(),
    technicians: z.array(technician),
    stops: z.array(stop),
  })
  .superRefine((problem, context) => {
    for (const fault of checkRouteProblem(problem satisfies RouteProblem)) {
      context.addIssue({ code: 'custom', path: fault.path, message: routeFaultText(fault) });
    }
  });
