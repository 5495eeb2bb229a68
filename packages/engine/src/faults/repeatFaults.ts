const DAY_MS = 86_400_000;

/** A fault or a repair of one code on one door, at an instant in milliseconds. */
export interface CodedEvent {
  door: string;
  code: string;
  at: number;
}

/** What became of repairs: has the fault come back? */
export interface RepeatFaults {
  /** Repairs that can be judged: the days are over, or the fault has come back already. */
  judged: number;
  /** Of those, the ones after which it came back in time. */
  repeated: number;
  /** repeated / judged; 0 if none can be judged. */
  share: number;
  /** For each repair of the input, in its order. */
  outcome: ('repeated' | 'held' | 'too-early-to-say')[];
}

/**
 * After which repairs did the same code show again on the same door within `withinDays`? A fault at the very
 * instant of the repair is the one that was repaired. O(n log n).
 */
export function repeatFaults(
  faults: readonly CodedEvent[],
  repairs: readonly CodedEvent[],
  now: number,
  withinDays = 30,
): RepeatFaults {
  const byCode = new Map<string, number[]>();
  for (const { door, code, at } of faults) {
    const key = JSON.stringify([door, code]);
    const instants = byCode.get(key);
    if (instants) instants.push(at);
    else byCode.set(key, [at]);
  }
  for (const instants of byCode.values()) instants.sort((a, b) => a - b);
  const outcome = repairs.map(({ door, code, at }) => {
    const next = firstAfter(byCode.get(JSON.stringify([door, code])) ?? [], at);
    if (next <= Math.min(now, at + withinDays * DAY_MS)) return 'repeated';
    return now >= at + withinDays * DAY_MS ? 'held' : 'too-early-to-say';
  });
  const repeated = outcome.filter((o) => o === 'repeated').length;
  const judged = repeated + outcome.filter((o) => o === 'held').length;
  return { judged, repeated, share: judged === 0 ? 0 : repeated / judged, outcome };
}

/** First of some ordered instants after another; Infinity if there is none. */
function firstAfter(instants: readonly number[], at: number): number {
  let [low, high] = [0, instants.length];
  while (low < high) {
    const middle = (low + high) >> 1;
    if (instants[middle]! > at) high = middle;
    else low = middle + 1;
  }
  return instants[low] ?? Infinity;
}
