/** One bar of a Pareto chart. */
export interface ParetoBar<Key extends string> {
  key: Key;
  count: number;
  /** Of all, and of all down to this bar: 0 to 1. */
  share: number;
  cumulativeShare: number;
}

/** Counts by key, most first, ties by key; keys without a count are left out. O(n log n). */
export function pareto<Key extends string>(keys: Iterable<Key>): ParetoBar<Key>[] {
  const counts = new Map<Key, number>();
  let total = 0;
  for (const key of keys) {
    counts.set(key, (counts.get(key) ?? 0) + 1);
    total++;
  }
  let running = 0;
  return [...counts]
    .sort(([keyA, a], [keyB, b]) => b - a || (keyA < keyB ? -1 : 1))
    .map(([key, count]) => {
      running += count;
      return { key, count, share: count / total, cumulativeShare: running / total };
    });
}
