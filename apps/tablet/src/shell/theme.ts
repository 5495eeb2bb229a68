import { nightPalette, palette } from '@lintel/ui';

export type Theme = 'day' | 'night';
export type Units = 'metric' | 'us';

const themeKey = 'lintel-tablet-theme';
const unitsKey = 'lintel-tablet-units';

/** Chosen on this device, else as the device itself is set. */
export function currentTheme(): Theme {
  const chosen = localStorage.getItem(themeKey);
  if (chosen === 'day' || chosen === 'night') return chosen;
  return matchMedia('(prefers-color-scheme: dark)').matches ? 'night' : 'day';
}

export function chooseTheme(theme: Theme): void {
  localStorage.setItem(themeKey, theme);
  showTheme(theme);
}

/** Sets the palette's variables on the page, for its own styles and for the marks of the house. */
export function showTheme(theme: Theme): void {
  const root = document.documentElement;
  root.dataset['theme'] = theme;
  for (const [name, colour] of Object.entries(theme === 'night' ? nightPalette : palette)) root.style.setProperty(`--lintel-${name}`, colour);
}

/** The palette of the day as style of one element: for drawings that are made on paper. */
export const onPaper = Object.fromEntries(Object.entries(palette).map(([name, colour]) => [`--lintel-${name}`, colour]));

/** Units chosen by the reader; null: as the site's. */
export function chosenUnits(): Units | null {
  const chosen = localStorage.getItem(unitsKey);
  return chosen === 'metric' || chosen === 'us' ? chosen : null;
}

export function chooseUnits(units: Units | null): void {
  if (units === null) localStorage.removeItem(unitsKey);
  else localStorage.setItem(unitsKey, units);
}
