/** A point of the distribution of an end: by `days` from now it has come with this chance. */
export interface ChancePoint {
  days: number;
  chance: number;
}

const onPaper = (chance: number): number => Math.log(-Math.log1p(-chance));

/**
 * Chance that an end comes within `days`, read off known points of its distribution: on straight lines between
 * them on Weibull paper (ln(−ln(1 − p)) over ln days), which a new part's Weibull law follows exactly, and
 * carried on beyond the outermost two. Points of chance 0 or 1, or of no days, say nothing there and are left
 * out. In [0, 1] and rising in `days` if the points rise. O(points log points).
 * @returns null where fewer than two points can be used.
 */
export function chanceByDay(points: readonly ChancePoint[], days: number): number | null {
  const usable = points
    .filter((point) => point.days > 0 && point.chance > 1e-9 && point.chance < 1 - 1e-9)
    .toSorted((a, b) => a.days - b.days || a.chance - b.chance)
    .filter((point, index, all) => index === 0 || point.days > all[index - 1]!.days);
  if (usable.length < 2) return null;
  if (!(days > 0)) return 0;
  const after = usable.findIndex((point) => point.days >= days);
  const right = after < 0 ? usable.length - 1 : Math.max(1, after);
  const [from, to] = [usable[right - 1]!, usable[right]!];
  const slope = (onPaper(to.chance) - onPaper(from.chance)) / Math.log(to.days / from.days);
  return -Math.expm1(-Math.exp(onPaper(from.chance) + Math.max(0, slope) * Math.log(days / from.days)));
}
