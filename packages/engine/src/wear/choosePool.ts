/**
 * With fewer failures a pool says less of its parts than the wider pool that holds it (common practice, no
 * source).
 */
export const LEAST_FAILURES_OF_POOL = 5;

/**
 * Which lives should a wear model learn from? Of nested pools, narrowest first (the parts of one kind on one
 * door type in one temperature class; on that type; of that kind), the first that holds enough failures, else
 * the widest. A pool is anything that knows its failures. O(pools). @throws RangeError if there is no pool.
 */
export function choosePool<Pool extends { failures: number }>(
  pools: readonly Pool[],
  least = LEAST_FAILURES_OF_POOL,
): Pool {
  const pool = pools.find(({ failures }) => failures >= least) ?? pools.at(-1);
  if (pool === undefined) throw new RangeError('pools must hold at least one pool');
  return pool;
}
