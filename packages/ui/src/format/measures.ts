import type { Units } from './length.js';

interface Pair {
  metric: string;
  us: string;
  /** us = metric × factor + offset. */
  factor: number;
  offset?: number;
  /** Decimals that a value in the US unit is shown with. */
  decimals: number;
}

/** Exact by definition of inch, foot, pound and standard gravity (international yard and pound, 1959); from memory. */
const inchMm = 25.4;
const footMm = 304.8;
const poundForceNewton = 4.4482216152605;
const pairs: readonly Pair[] = [
  { metric: 'mm', us: 'in', factor: 1 / inchMm, decimals: 3 },
  { metric: 'm', us: 'ft', factor: 1000 / footMm, decimals: 2 },
  { metric: 'N', us: 'lbf', factor: 1 / poundForceNewton, decimals: 2 },
  { metric: 'kg', us: 'lb', factor: 1 / 0.45359237, decimals: 2 },
  { metric: 'Nm', us: 'lbf·ft', factor: 1000 / (poundForceNewton * footMm), decimals: 2 },
  { metric: 'bar', us: 'psi', factor: inchMm ** 2 / (10 * poundForceNewton), decimals: 1 },
  { metric: '°C', us: '°F', factor: 1.8, offset: 32, decimals: 1 },
];

/** A unit as the reader has it: with a way there and back. A unit that both systems share stays as it is. */
export interface MeasureUnit {
  unit: string;
  /** From the unit in which the value is stored. */
  shown: (value: number) => number;
  /** Into it. */
  stored: (value: number) => number;
  /** Whether the two differ. */
  converted: boolean;
}

const same = (value: number): number => value;

/** How a value stored in `unit` is shown in a system of units. */
export function measureUnit(unit: string, units: Units): MeasureUnit {
  const pair = pairs.find((one) => (units === 'us' ? one.metric : one.us) === unit);
  if (!pair) return { unit, shown: same, stored: same, converted: false };
  const { factor, offset = 0 } = pair;
  const toUs = (value: number): number => value * factor + offset;
  const toMetric = (value: number): number => (value - offset) / factor;
  return units === 'us'
    ? { unit: pair.us, shown: (value) => round(toUs(value), pair.decimals), stored: toMetric, converted: true }
    : { unit: pair.metric, shown: (value) => round(toMetric(value), pair.decimals), stored: toUs, converted: true };
}

/** A value on the scale of an instrument that shows steps of `resolution`; without one, to six decimals. */
export function onScale(value: number, resolution?: number): number {
  if (resolution === undefined) return round(value, 6);
  return round(Math.round(value / resolution) * resolution, 9);
}

function round(value: number, decimals: number): number {
  return Number(value.toFixed(decimals));
}
