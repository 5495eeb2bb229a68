import type { Dice } from './dice.js';
import { DAY_MS, HISTORY_DAYS, type DoorHistory } from './doorHistory.js';
import type { Trouble } from './troubles.js';

export interface DemoCounter {
  name: string;
  fittedAt: number;
  removedAt: number | null;
  modulus: number | null;
  startCycles: number;
  startValue: number;
}

export interface DemoReading {
  /** Index into the door's counters. */
  counter: number;
  at: number;
  value: number;
  source: 'wire' | 'form' | 'file';
}

/** How often a door's counter is read. */
const CADENCES = [
  { share: 0.3, everyDays: 1, source: 'wire' },
  { share: 0.35, everyDays: 7, source: 'form' },
  { share: 0.25, everyDays: 30, source: 'file' },
  { share: 0.1, everyDays: 91, source: 'form' },
] as const;

/** Troubles that only show where the counter is read often enough. */
const READ_WEEKLY: readonly (Trouble | null)[] = ['rolled-over', 'reset', 'stuck', 'mistyped', 'misdated', 'new-counter', 'busier'];

/** The counters of a door, and what was read from them: what the door truly did, seen through its trouble. */
export function countersAndReadings(
  dice: Dice,
  history: DoorHistory,
  trouble: Trouble | null,
  options: { modulus: number | null; modulusKnown: boolean; readingsPerDoor: number | null },
): { counters: DemoCounter[]; readings: DemoReading[] } {
  const eventAt = history.from + dice.whole(150, 420) * DAY_MS + 9 * 3_600_000;
  const counters: DemoCounter[] = [firstCounter(history, options.modulus, options.modulusKnown)];
  if (trouble === 'new-counter') {
    counters[0]!.removedAt = eventAt;
    counters.push({ name: 'main', fittedAt: eventAt, removedAt: null, modulus: options.modulus, startCycles: history.cyclesAt(eventAt), startValue: 0 });
  }
  const readings = instants(dice, history, trouble, options.readingsPerDoor).map(({ at, source }): DemoReading => {
    const counter = counters.length > 1 && at >= eventAt ? 1 : 0;
    const shown = shownAt(history, trouble, eventAt, at) - (counter === 0 ? 0 : counters[counter]!.startCycles);
    return { counter, at, value: options.modulus === null ? shown : shown % options.modulus, source };
  });
  if (trouble === 'mistyped') mistype(dice, readings);
  if (trouble === 'misdated') misdate(readings);
  return { counters, readings };
}

/**
 * Known since the door's first day; or, where it had rolled over before anybody read it, since the first day of the history,
 * when lifetime cycles and value were noted together: no reading could tell of those rollovers.
 */
function firstCounter(history: DoorHistory, modulus: number | null, modulusKnown: boolean): DemoCounter {
  const counter = { name: 'main', removedAt: null, modulus: modulusKnown ? modulus : null };
  const before = history.cyclesAt(history.from);
  if (modulus === null || before < modulus) return { ...counter, fittedAt: history.installedAt, startCycles: 0, startValue: 0 };
  return { ...counter, fittedAt: history.from, startCycles: before, startValue: before % modulus };
}

/** Cycles that the counter knows of: all, since its reset, or without those made while it stuck. */
function shownAt(history: DoorHistory, trouble: Trouble | null, eventAt: number, at: number): number {
  if (trouble === 'reset' && at >= eventAt) return history.cyclesAt(at) - history.cyclesAt(eventAt);
  if (trouble === 'stuck' && at >= eventAt) {
    const released = eventAt + 42 * DAY_MS;
    return history.cyclesAt(eventAt) + (at > released ? history.cyclesAt(at) - history.cyclesAt(released) : 0);
  }
  return history.cyclesAt(at);
}

function instants(dice: Dice, history: DoorHistory, trouble: Trouble | null, wanted: number | null) {
  if (trouble === 'no-reading') return [];
  let roll = dice.next();
  const drawn = CADENCES.find((cadence) => (roll -= cadence.share) < 0) ?? CADENCES[0];
  const cadence = drawn.everyDays > 7 && READ_WEEKLY.includes(trouble) ? CADENCES[1] : drawn;
  const everyDays = wanted === null ? cadence.everyDays : HISTORY_DAYS / wanted;
  const found: { at: number; source: DemoReading['source'] }[] = [];
  for (let day = dice.next() * everyDays; day < HISTORY_DAYS; day += everyDays) {
    const jitter = everyDays > 7 ? dice.between(-3, 3) : 0;
    const at = history.from + Math.min(HISTORY_DAYS - 1, Math.max(0, Math.floor(day + jitter))) * DAY_MS;
    // Between six in the morning and two in the afternoon, to the minute.
    const instant = at + dice.whole(360, 840) * 60_000;
    if (instant < history.now) found.push({ at: instant, source: cadence.source });
  }
  return trouble === 'one-reading' ? found.slice(-1) : found;
}

/** A digit too many, and two digits exchanged. */
function mistype(dice: Dice, readings: DemoReading[]): void {
  const [first, second] = [Math.floor(readings.length / 3), Math.floor((2 * readings.length) / 3)];
  readings[first]!.value = readings[first]!.value * 10 + dice.whole(1, 9);
  const digits = String(readings[second]!.value).split('');
  [digits[0], digits[1]] = [digits[1] ?? '0', digits[0]!];
  readings[second]!.value = Number(digits.join(''));
}

/** A reading entered under a date seven weeks too late. */
function misdate(readings: DemoReading[]): void {
  const wrong = readings[Math.floor(readings.length / 2)]!;
  wrong.at += 49 * DAY_MS;
}
