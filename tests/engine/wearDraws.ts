import type { DutyNodes } from '@lintel/engine';

/** Relative difference. */
export function off(actual: number, expected: number): number {
  return actual === expected ? 0 : Math.abs(actual - expected) / Math.abs(expected);
}

/** A seeded generator of numbers above 0 and below 1 (mulberry32). */
export function seeded(seed: number): () => number {
  let state = seed >>> 0;
  return () => {
    state = (state + 0x6d2b79f5) >>> 0;
    let t = Math.imul(state ^ (state >>> 15), state | 1);
    t = (t + Math.imul(t ^ (t >>> 7), t | 61)) ^ t;
    return (((t ^ (t >>> 14)) >>> 0) + 0.5) / 4294967296;
  };
}

/** A life drawn from a Weibull law. */
export function weibullDraw(random: () => number, shape: number, scale: number): number {
  return scale * (-Math.log(random())) ** (1 / shape);
}

/** Duty nodes made up for a test. */
export function nodesOf(weights: number[], cyclesAt: (daysAhead: number, node: number) => number): DutyNodes {
  return {
    weights: Float64Array.from(weights),
    cyclesAt,
    cyclesInto: (daysAhead, cycles) => weights.forEach((_, node) => (cycles[node] = cyclesAt(daysAhead, node))),
  };
}
