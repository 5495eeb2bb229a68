export function formatWhole(value: number): string {
  return Math.round(value).toLocaleString('en');
}

/** Cycles to about three figures, with the thousands kept readable: 412, 8,430, 127,000. */
export function formatAbout(value: number): string {
  if (Math.abs(value) < 1000) return formatWhole(value);
  const step = 10 ** (Math.floor(Math.log10(Math.abs(value))) - 2);
  return (Math.round(value / step) * step).toLocaleString('en');
}

/** A chance as a whole per cent; never 0 % or 100 % for what is neither. */
export function formatChance(chance: number): string {
  if (chance > 0 && chance < 0.01) return 'under 1 %';
  if (chance < 1 && chance > 0.99) return 'over 99 %';
  return `${Math.round(chance * 100)} %`;
}

export function formatBytes(bytes: number): string {
  if (bytes < 1000) return `${bytes} B`;
  const units = ['kB', 'MB', 'GB', 'TB'];
  const power = Math.min(Math.floor(Math.log10(bytes) / 3), units.length);
  return `${(bytes / 1000 ** power).toFixed(power === 1 ? 0 : 1)} ${units[power - 1] ?? 'kB'}`;
}

/** Minutes as hours and minutes: `1 h 30 min`. */
export function formatMinutes(minutes: number): string {
  const hours = Math.floor(minutes / 60);
  const rest = Math.round(minutes % 60);
  if (hours === 0) return `${rest} min`;
  return rest === 0 ? `${hours} h` : `${hours} h ${rest} min`;
}
