import type { FittedPart } from '@lintel/contract';
import { formatAbout } from '@lintel/ui';

const daysPerMonth = 30.4375;

/** An age or remaining life in the unit it is counted in; long spans of days as months. */
export function lifeAmount(value: number, unit: FittedPart['unit']): string {
  if (unit === 'days') {
    return value < 2 * daysPerMonth ? `${Math.round(value)} days` : `${Math.round(value / daysPerMonth)} months`;
  }
  return `${formatAbout(value)} cycles`;
}

/** Remaining life as a sentence; empty where it is not known. */
export function remainingWords(part: FittedPart): string {
  if (part.remaining10 === null || part.remaining50 === null || part.remaining90 === null) return 'Its remaining life is not known.';
  return `Remaining life about ${lifeAmount(part.remaining50, part.unit)} (${lifeAmount(part.remaining10, part.unit)} to ${lifeAmount(part.remaining90, part.unit)}).`;
}
