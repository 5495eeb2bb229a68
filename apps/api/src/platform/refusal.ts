import { problemKinds, type FieldError, type ProblemCode } from '@lintel/contract';

export interface RefusalParts {
  errors?: FieldError[];
  /** With `stale`: the row as it is now. */
  current?: Record<string, unknown>;
  /** With `conflict`: the engine's reason. */
  refusal?: { code: string; facts: Record<string, unknown> };
  /** With `method-not-allowed`: the methods that go. */
  allow?: string[];
  /** Seconds after which it may be tried again. */
  retryAfterSeconds?: number;
}

/** An expected refusal; one filter makes problem details of it. */
export class Refusal extends Error {
  constructor(
    readonly code: ProblemCode,
    readonly detail: string,
    readonly parts: RefusalParts = {},
  ) {
    super(detail);
  }

  get status(): number {
    return problemKinds[this.code].status;
  }
}

export const notFound = (what: string): Refusal => new Refusal('not-found', `There is no such ${what} here.`);

export function invalid(errors: FieldError[]): Refusal {
  const detail = errors.map(({ field, message }) => (field === '' ? message : `${field}: ${message}`)).join('; ');
  return new Refusal('bad-request', detail.slice(0, 1000), { errors });
}

export const invalidField = (field: string, message: string): Refusal => invalid([{ field, message }]);
