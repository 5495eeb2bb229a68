/** What the caller gave cannot be used: one clear line, exit code 2. */
export class InputError extends Error {}

/** It was asked rightly and could not be done: one clear line, exit code 1. */
export class FailureError extends Error {}
