import { z } from 'zod';

/** What can go wrong, as the last word of a problem's `type`, with its status and title. */
export const problemKinds = {
  'bad-request': { status: 400, title: 'The request is not valid' },
  'not-signed-in': { status: 401, title: 'Not signed in' },
  'sign-in-refused': { status: 401, title: 'E-mail or password is wrong' },
  forbidden: { status: 403, title: 'This account may not do that' },
  'other-origin': { status: 403, title: 'The request came from another origin' },
  'not-found': { status: 404, title: 'Not found' },
  'method-not-allowed': { status: 405, title: 'This method is not known here' },
  conflict: { status: 409, title: 'Not possible as things stand' },
  'in-use': { status: 409, title: 'Still in use' },
  stale: { status: 412, title: 'Changed by somebody else meanwhile' },
  'address-too-long': { status: 414, title: 'The address is too long' },
  'too-large': { status: 413, title: 'The request is too large' },
  'not-this-media-type': { status: 415, title: 'This content type is not accepted here' },
  'version-required': { status: 428, title: 'If-Match is missing' },
  'too-many-requests': { status: 429, title: 'Too many requests' },
  'headers-too-large': { status: 431, title: 'The request headers are too large' },
  'internal-error': { status: 500, title: 'Something went wrong here' },
  'not-ready': { status: 503, title: 'Not ready' },
} as const satisfies Record<string, { status: number; title: string }>;

export type ProblemCode = keyof typeof problemKinds;

export const problemTypePrefix = 'urn:lintel:problem:';

/** RFC 9457 problem details. */
export const problem = z.object({
  type: z.string().describe('urn:lintel:problem:<code>'),
  title: z.string(),
  status: z.int(),
  detail: z.string(),
  errors: z.array(z.object({ field: z.string(), message: z.string() })).optional(),
  /** With 412: the row as it is now. */
  current: z.record(z.string(), z.unknown()).optional(),
  /** With 409, where the rules of the work refuse it: why, as a code, and the facts of which the pages make a sentence. */
  refusal: z.object({ code: z.string(), facts: z.record(z.string(), z.unknown()) }).optional(),
  requestId: z.string(),
}).meta({ id: 'Problem' });
export type Problem = z.infer<typeof problem>;
