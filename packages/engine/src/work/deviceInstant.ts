/** How far a device's clock may be ahead before nobody believes it, milliseconds. */
export const CLOCK_AHEAD_MS = 600_000;

/**
 * When something was done that a device reports: by its own clock, unless that lies in the future or before it can have been.
 * Then by the server's, which is later than the deed by as long as the device had no signal, but at least no invention.
 * @param deviceMs what the device says; undefined: nothing.
 * @param serverMs when the server got it.
 * @param notBeforeMs before this it cannot have happened, e.g. the order was not released yet.
 * @returns milliseconds; never after `serverMs`.
 */
export function deviceInstant(deviceMs: number | undefined, serverMs: number, notBeforeMs: number): number {
  if (deviceMs === undefined || !Number.isFinite(deviceMs)) return serverMs;
  if (deviceMs < notBeforeMs || deviceMs > serverMs + CLOCK_AHEAD_MS) return serverMs;
  return Math.min(deviceMs, serverMs);
}
