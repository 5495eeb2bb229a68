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
