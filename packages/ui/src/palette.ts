/**
 * The project's colours: slate ink, frost, and one warm signal kept for what must be acted on.
 * Conditions differ in lightness as well as hue, so that they survive every kind of colour blindness and a grey print.
 */
export const palette = {
  ink: '#14232e',
  inkSoft: '#2c4150',
  slate: '#4a606e',
  slateSoft: '#5d7280',
  line: '#c9d7de',
  lineSoft: '#dde7ec',
  frost: '#f1f6f8',
  frostDeep: '#e3edf1',
  paper: '#ffffff',
  ice: '#1c6a80',
  iceSoft: '#d3e8ee',
  dusk: '#53528f',
  duskSoft: '#e4e3f1',
  signal: '#b93a06',
  signalDeep: '#8f2c03',
  signalSoft: '#fdebdf',
} as const;

export type Colour = keyof typeof palette;

/** The same parts in the dark of a freezer: frost on slate, nothing glaring, the signal still the one warm colour. */
export const nightPalette: Record<Colour, string> = {
  ink: '#eaf2f6',
  inkSoft: '#cbdae2',
  slate: '#afc4cf',
  slateSoft: '#9bb3c0',
  line: '#3b5666',
  lineSoft: '#2a414e',
  frost: '#0b151c',
  frostDeep: '#1f3440',
  paper: '#14222c',
  ice: '#82cbe0',
  iceSoft: '#17414f',
  dusk: '#bdbcf0',
  duskSoft: '#2e2d57',
  signal: '#ff9166',
  signalDeep: '#ffb597',
  signalSoft: '#40200f',
};

/** The palette as CSS: a page that sets `--lintel-<name>` changes a colour, any other gets it as it is. */
export const paint = Object.fromEntries(
  Object.entries(palette).map(([name, colour]) => [name, `var(--lintel-${name}, ${colour})`]),
) as Record<Colour, string>;

const names = new Map(Object.entries(palette).map(([name, colour]) => [colour as string, name as Colour]));

/** A colour of the palette as CSS, see `paint`; any other stays as it is. */
export function paintOf(colour: string): string {
  const name = names.get(colour);
  return name === undefined ? colour : paint[name];
}
