import type { WearFit, WearPlot } from '@lintel/contract';

/** One age of the probability plot; heights on Weibull paper, ln(−ln(1 − share)). */
export interface PaperPoint {
  logAge: number;
  learned?: number;
  band?: [number, number];
  rated?: number;
  fitted?: number;
  other?: number;
}

export interface PaperData {
  points: PaperPoint[];
  failures: { logAge: number; height: number; age: number; share: number }[];
  suspensions: { logAge: number; height: number; age: number }[];
  from: number;
  to: number;
}

const STEPS = 90;
/** A little more than one power of ten. */
const SHORT_AXIS = 2.6;
export const LOWEST_SHARE = 0.004;
export const HIGHEST_SHARE = 0.995;

/** Height of a share on Weibull paper. */
export const heightOf = (share: number): number => Math.log(-Math.log1p(-share));

/** Up to which share of failed parts a chart looks: well past what was seen, for far beyond that a law is no more than a guess. */
export const highestSeen = (plot: WearPlot): number => Math.min(0.95, Math.max(0.5, 2 * (plot.failures.at(-1)?.share ?? 0)));

/** What is drawn on Weibull paper, where a Weibull law is a straight line of ln age. */
export function paperData(plot: WearPlot, fit: WearFit | null, other: WearPlot | null): PaperData {
  const inSight = plot.learned.filter(({ share }) => share >= 0.01 && share <= highestSeen(plot));
  const ages = [
    ...inSight.map(({ age }) => age),
    ...plot.failures.map(({ age }) => age),
    ...plot.suspensions.filter((age) => age > 0),
    ...plot.rated.filter(({ share }) => share >= 0.05 && share <= 0.5).map(({ age }) => age),
  ];
  const last = Math.log(Math.max(...ages));
  // The youngest running parts lie far to the left and say little: the plot begins at the failures.
  const first = Math.log(Math.min(...inSight.map(({ age }) => age), ...plot.failures.map(({ age }) => age)));
  const [from, to] = [first - 0.05 * (last - first), last + 0.05 * (last - first)];
  const points = Array.from({ length: STEPS + 1 }, (_, step) => pointAt(from + ((to - from) * step) / STEPS, plot, fit, other));
  return {
    points,
    failures: plot.failures.map(({ age, share }) => ({ logAge: Math.log(age), height: heightOf(share), age, share })),
    suspensions: plot.suspensions.filter((age) => age > 0 && Math.log(age) >= from).map((age) => ({ logAge: Math.log(age), height: heightOf(LOWEST_SHARE) + 0.15, age })),
    from,
    to,
  };
}

function pointAt(logAge: number, plot: WearPlot, fit: WearFit | null, other: WearPlot | null): PaperPoint {
  const point: PaperPoint = { logAge };
  const set = (field: 'learned' | 'rated' | 'fitted' | 'other', height: number | null) => {
    if (height !== null) point[field] = height;
  };
  set('learned', heightAt(logAge, plot.learned.map(({ age, share }) => ({ age, share }))));
  set('rated', heightAt(logAge, plot.rated));
  if (fit) set('fitted', fit.shape * (logAge - Math.log(fit.scale)));
  if (other) set('other', heightAt(logAge, other.learned));
  // The laws that die early bound the share from above.
  const low = heightAt(logAge, plot.learned.map(({ high, share }) => ({ age: high, share })));
  const high = heightAt(logAge, plot.learned.map((each) => ({ age: each.low, share: each.share })));
  if (low !== null && high !== null) point.band = [low, high];
  return point;
}

/** Height of a line of ages by share at an age: straight between its points, and on beyond them. */
function heightAt(logAge: number, line: readonly { age: number; share: number }[]): number | null {
  if (line.length < 2) return null;
  let above = line.findIndex(({ age }) => Math.log(age) >= logAge);
  if (above < 0) above = line.length - 1;
  const [left, right] = [line[Math.max(0, above - 1)], line[Math.max(1, above)]];
  if (!left || !right) return null;
  const [x, y] = [Math.log(left.age), heightOf(left.share)];
  const width = Math.log(right.age) - x;
  return width === 0 ? y : y + ((heightOf(right.share) - y) * (logAge - x)) / width;
}

/** Round ages on a logarithmic axis: 1, 2, 5 of each power of ten, and more of them where the axis is short. */
export function ageTicks(from: number, to: number, unitDays: number): number[] {
  const ticks: number[] = [];
  const digits = to - from < SHORT_AXIS ? [1, 1.5, 2, 2.5, 3, 4, 5, 6, 8] : [1, 2, 5];
  for (let power = -2; power <= 12; power++) {
    for (const digit of digits) {
      const at = Math.log(digit * 10 ** power * unitDays);
      if (at >= from && at <= to) ticks.push(at);
    }
  }
  return ticks;
}
