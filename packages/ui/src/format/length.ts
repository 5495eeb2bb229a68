export type Units = 'metric' | 'us';

const mmPerInch = 25.4;

/** Millimetres → whole number of the unit that the site uses: mm, or inches to a tenth. */
export function lengthIn(units: Units, mm: number): number {
  return units === 'us' ? Math.round((mm / mmPerInch) * 10) / 10 : mm;
}

/** The inverse, rounded to a whole millimetre. */
export function lengthToMm(units: Units, value: number): number {
  return Math.round(units === 'us' ? value * mmPerInch : value);
}

export function lengthUnit(units: Units): string {
  return units === 'us' ? 'in' : 'mm';
}

/** A length in mm as text, e.g. `3,000 mm` or `118.1 in`. */
export function formatLength(units: Units, mm: number): string {
  return `${lengthIn(units, mm).toLocaleString('en')} ${lengthUnit(units)}`;
}

/** A temperature in °C as text in the site's unit. */
export function formatTemperature(units: Units, celsius: number): string {
  return units === 'us' ? `${Math.round((celsius * 9) / 5 + 32)} °F` : `${celsius} °C`;
}
