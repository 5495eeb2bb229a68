/** Milliseconds in a day of 24 hours; duty counts in these, not in civil days. */
export const DAY_MS = 86_400_000;
