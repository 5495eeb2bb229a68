import type { FittedPart } from '@lintel/contract';
import { chanceByDay } from '@lintel/contract';
import { daysBetween } from '@lintel/ui';

type Outlook = Pick<FittedPart, 'endsOn10' | 'endsOn50' | 'endsOn90' | 'chance30' | 'chance90' | 'chance365'>;

/** One step of the distribution: a share of the chance between two days ahead. */
export interface DensityStep {
  from: number;
  to: number;
  chance: number;
}

/** Days ahead by which the end has come with one, five, nine chances in ten; null: not known. */
export function endDays({ endsOn10, endsOn50, endsOn90 }: Outlook, today: string): [number, number, number] | null {
  if (!endsOn10 || !endsOn50 || !endsOn90) return null;
  const days = (date: string) => Math.max(0, daysBetween(today, date));
  return [days(endsOn10), days(endsOn50), days(endsOn90)];
}

/** The end as steps whose areas are chances: a tenth before the early date, four tenths up to the middle, four up to the late one. */
export function densitySteps(part: Outlook, today: string): DensityStep[] {
  const ends = endDays(part, today);
  if (ends === null) return [];
  const [early, middle, late] = ends;
  return [
    { from: 0, to: early, chance: 0.1 },
    { from: early, to: middle, chance: 0.4 },
    { from: middle, to: late, chance: 0.4 },
  ];
}

/** Chance that the part ends within so many days, between what the projection says of 30, 90, 365 days and of the three dates. */
export function chanceWithin(part: Outlook, days: number, today: string): number | null {
  const { chance30, chance90, chance365 } = part;
  const ends = endDays(part, today);
  if (ends === null || chance30 === null || chance90 === null || chance365 === null) return null;
  const points = [{ days: 30, chance: chance30 }, { days: 90, chance: chance90 }, { days: 365, chance: chance365 }];
  const known = ends.map((at, index) => ({ days: at, chance: [0.1, 0.5, 0.9][index]! })).filter((point) => point.days > 365);
  // All chances next to nothing: so is this one.
  return chanceByDay([...points, ...known], days) ?? chance30;
}
