import { chainElongation } from '@lintel/engine';
import type { Dice } from './dice.js';
import { DAY_MS, type DoorHistory } from './doorHistory.js';

export interface DemoMeasurement {
  at: number;
  lifetimeCycles: number;
  pitches: number;
  lengthMm: number;
  elongationPercent: number;
}

const PITCHES = 20;
const EVERY_DAYS = 80;
/** Of a rule held against a greasy chain, mm. */
const READING_MM = 0.12;

/**
 * What was measured of the chain that a door has now, every quarter or so: it grows evenly with the cycles, each chain at its own
 * pace, about `percentPerCycle`.
 */
export function measurementsOf(
  dice: Dice,
  history: DoorHistory,
  fittedAt: number,
  chain: { pitchMm: number; percentPerCycle: number },
): DemoMeasurement[] {
  const pace = chain.percentPerCycle * Math.exp(0.3 * dice.normal());
  const measurements: DemoMeasurement[] = [];
  for (let at = Math.max(fittedAt, history.from) + dice.between(10, 60) * DAY_MS; at < history.now; at += dice.between(0.8, 1.2) * EVERY_DAYS * DAY_MS) {
    const lifetimeCycles = history.cyclesAt(at);
    const grown = pace * (lifetimeCycles - history.cyclesAt(fittedAt));
    const length = PITCHES * chain.pitchMm * (1 + grown / 100) + READING_MM * dice.normal();
    const lengthMm = Math.round(10 * length) / 10;
    measurements.push({ at, lifetimeCycles, pitches: PITCHES, lengthMm, elongationPercent: chainElongation({ length: lengthMm, pitches: PITCHES, pitch: chain.pitchMm }) });
  }
  return measurements;
}
