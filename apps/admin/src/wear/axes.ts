import type { AgeUnit } from '@lintel/contract';
import { formatAbout, palette } from '@lintel/ui';

const daysPerMonth = 30.4375;

/** Ages in days are labelled in months. */
export const daysPerTick = (unit: AgeUnit): number => (unit === 'days' ? daysPerMonth : 1);

export const tick = { fill: palette.inkSoft, fontSize: 12 };

/** Even round values from 0 up to a maximum, some five of them. */
export function evenTicks(most: number, step = 1): number[] {
  const rough = most / step / 5;
  const power = 10 ** Math.floor(Math.log10(rough));
  const width = ([1, 2, 5].find((digit) => digit * power >= rough) ?? 10) * power * step;
  return Array.from({ length: Math.floor(most / width + 1e-9) + 1 }, (_, index) => index * width);
}

/** An age as an axis labels it: cycles, in thousands and millions where they are many, or months. */
export function axisAmount(age: number, unit: AgeUnit): string {
  if (unit === 'days') return String(Number((age / daysPerMonth).toPrecision(3)));
  if (age >= 1e6) return `${Number((age / 1e6).toPrecision(3))} M`;
  return age >= 10_000 ? `${Number((age / 1000).toPrecision(3))} k` : formatAbout(age);
}
