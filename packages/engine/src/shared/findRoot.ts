const MAX_STEPS = 200;

/**
 * A root of `f` between `low` and `high`, where it has opposite signs: false position with the idle end's value
 * reduced (Anderson & Björck 1973), a halving every third step so that the bracket surely shrinks. To
 * `precision` in the argument. `fLow` and `fHigh` are the values at the ends, if known already.
 */
export function findRoot(
  f: (x: number) => number,
  low: number,
  high: number,
  precision: number,
  fLow: number = f(low),
  fHigh: number = f(high),
): number {
  let [a, b, fa, fb] = [low, high, fLow, fHigh];
  if (fa === 0) return a;
  if (fb === 0) return b;
  for (let step = 1; step <= MAX_STEPS && Math.abs(b - a) > precision; step++) {
    const straight = b - (fb * (b - a)) / (fb - fa);
    const inside = straight > Math.min(a, b) && straight < Math.max(a, b);
    const x = inside && step % 3 !== 0 ? straight : 0.5 * (a + b);
    const fx = f(x);
    if (fx === 0) return x;
    if (fx > 0 === fb > 0) {
      const factor = 1 - fx / fb;
      fa *= factor > 0 ? factor : 0.5;
    } else {
      [a, fa] = [b, fb];
    }
    [b, fb] = [x, fx];
  }
  return Math.abs(fa) < Math.abs(fb) ? a : b;
}
