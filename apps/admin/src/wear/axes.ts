import type { AgeUnit } from '@lintel/contract';
import { formatAbout, palette } from '@lintel/ui';

const daysPerMonth = 30.4375;

/** Ages in days are labelled in months. */
export const daysPerTick = (unit: AgeUnit): number => (unit === 'days' ? daysPerMonth : 1);

export const tick = { fill: palette.inkSoft, fontSize: 12 };

/** An age as an axis labels it: cycles, in thousands and millions where they are many, or months. */
export function axisAmount(age: number, unit: AgeUnit): string {
  if (unit === 'days') return String(Number((age / daysPerMonth).toPrecision(3)));
  if (age >= 1e6) return `${Number((age / 1e6).toPrecision(3))} M`;
  return age >= 10_000 ? `${Number((age / 1000).toPrecision(3))} k` : formatAbout(age);
}
