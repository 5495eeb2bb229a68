import { describe, expect, it } from 'vitest';
import { cyclesAhead, daysUntil, estimateDuty, peerPrior, unwrap } from '@lintel/engine';
import type { Quantiles, RawReading } from '@lintel/engine';

// Constructed here, not published: simulated doors whose true cycles are known, seen through counters with
// every trouble that product.md lists. What happens to a door after the forecast day is never shown to the
// engine; its constants were chosen with other seeds of this simulation in sight.

const DAY = 86_400_000;
const FUTURE_DAYS = 180;
const SEED = 20_261_125;
const DOORS = 1600;

type Random = () => number;

/** Small seeded generator (mulberry32, public domain). */
function seeded(seed: number): Random {
  let state = seed;
  return () => {
    state = (state + 0x6d2b79f5) | 0;
    let mixed = Math.imul(state ^ (state >>> 15), 1 | state);
    mixed = (mixed + Math.imul(mixed ^ (mixed >>> 7), 61 | mixed)) ^ mixed;
    return ((mixed ^ (mixed >>> 14)) >>> 0) / 4_294_967_296;
  };
}

const normal = (random: Random): number =>
  Math.sqrt(-2 * Math.log(1 - random())) * Math.cos(2 * Math.PI * random());

const aDay = (random: Random, days: number, chance: number): number =>
  random() < chance ? Math.floor(days * random()) : Infinity;

interface SimulatedDoor {
  gapDays: number;
  days: number;
  /** True cycles made by the start of each day. */
  cycles: number[];
  modulus: number;
  modulusKnown: boolean;
  readings: RawReading[];
  /** Whether each reading shows something else than the counter's true value. */
  wrong: boolean[];
  /** The counter was exchanged unknown to anybody, or stood still for a time. */
  lostCount: boolean;
}

/** A door's true cycles: drift, over-dispersion, weekdays, season, and for one in seven an abrupt change. */
function trueCycles(random: Random, days: number): number[] {
  const drift = (0.005 + 0.025 * random()) / Math.sqrt(30);
  const dispersion = 2 + 12 * random();
  const weekdays = [1, 1, 1, 1, 1, random(), 0.8 * random()];
  const mean = weekdays.reduce((sum, factor) => sum + factor) / 7;
  const [amplitude, phase] = [0.1 * random(), 2 * Math.PI * random()];
  const changeDay = aDay(random, days - FUTURE_DAYS, 0.15);
  const change = random() < 0.5 ? 0.4 + 0.3 * random() : 1.4 + random();
  let level = 150 * Math.exp(0.5 * normal(random));
  const cycles = [0];
  for (let day = 0; day < days; day++) {
    if (day === changeDay) level *= change;
    level *= Math.exp(drift * normal(random));
    const expected =
      ((level * weekdays[day % 7]!) / mean) * (1 + amplitude * Math.cos((2 * Math.PI * day) / 365.25 + phase));
    const made = Math.max(0, Math.round(expected + Math.sqrt(dispersion * expected) * normal(random)));
    cycles.push(cycles.at(-1)! + made);
  }
  return cycles;
}

/** What a person makes of a value: a digit left out, added or swapped, another number altogether. */
function mistyped(random: Random, value: number, modulus: number): number {
  const digits = String(value);
  const kind = random();
  if (kind < 0.3) return Number(digits.slice(0, -1) || '0');
  if (kind < 0.5) return Number(digits + Math.floor(10 * random())) % modulus;
  if (kind < 0.8 && digits.length > 1) {
    const place = Math.floor(random() * (digits.length - 1));
    return Number(digits.slice(0, place) + digits[place + 1]! + digits[place]! + digits.slice(place + 2));
  }
  return Math.floor(value * (0.3 + random())) % modulus;
}

function simulate(random: Random, gapDays: number): SimulatedDoor {
  const days = 200 + Math.floor(900 * random());
  const cycles = trueCycles(random, days + FUTURE_DAYS);
  const modulus = random() < 0.5 ? 100_000 : 1_000_000;
  const modulusKnown = random() < 0.5;
  const offset = Math.floor(random() * modulus);
  const resetDay = aDay(random, days, 0.12);
  const stuckFrom = aDay(random, days, 0.12);
  const stuckTo = stuckFrom + 30 + Math.floor(200 * random());
  // Cycles that the counter has counted by a day: none while it is stuck.
  const counted = (day: number) =>
    day <= stuckFrom ? cycles[day]! : cycles[day]! - (cycles[Math.min(day, stuckTo)]! - cycles[stuckFrom]!);
  const shown = (day: number) =>
    (day >= resetDay ? counted(day) - counted(resetDay) : offset + counted(day)) % modulus;
  const door: SimulatedDoor = {
    gapDays,
    days,
    cycles,
    modulus,
    modulusKnown,
    readings: [],
    wrong: [],
    lostCount: resetDay < Infinity || stuckFrom < Infinity,
  };
  const add = (at: number, value: number, wrong: boolean) => {
    door.readings.push({ at, value });
    door.wrong.push(wrong);
  };
  for (let day = Math.floor(3 * random()); day <= days; ) {
    const at = (day + (gapDays === 1 ? 0 : 0.3 * (random() - 0.5))) * DAY;
    const slips = random() < (gapDays === 1 ? 0.003 : 0.03);
    const value = slips ? mistyped(random, shown(day), modulus) : shown(day);
    add(at, value, value !== shown(day));
    if (random() < 0.02) add(at, value, value !== shown(day));
    // Filed under a wrong date.
    if (random() < 0.005 && day > 60) add(at - 30.5 * DAY, shown(day), true);
    day += gapDays === 1 ? 1 : Math.max(1, Math.round(gapDays * (0.8 + 0.4 * random())));
  }
  return door;
}

function prior(random: Random) {
  const peer = () => {
    const rate = 150 * Math.exp(0.5 * normal(random));
    return { cycles: 300 * rate, days: 300 };
  };
  return peerPrior([peer(), peer(), peer(), peer(), peer()]);
}

const pinballAt = (chance: number, said: number, came: number): number =>
  came >= said ? chance * (came - said) : (1 - chance) * (said - came);

const pinball = (said: Quantiles, came: number): number =>
  pinballAt(0.1, said.p10, came) + pinballAt(0.5, said.p50, came) + pinballAt(0.9, said.p90, came);

interface Tally {
  doors: number;
  coveredCycles: number;
  coveredDays: number;
  pinball: number;
  pinballTrailing: number;
}

/**
 * Runs the engine over the fleet; pinball losses are relative to the true cycles, so that every door counts
 * alike.
 */
function runFleet() {
  const random = seeded(SEED);
  const tallies = new Map([30, 90, 180].map((horizon) => [horizon, {} as Tally]));
  for (const horizon of tallies.keys()) {
    tallies.set(horizon, { doors: 0, coveredCycles: 0, coveredDays: 0, pinball: 0, pinballTrailing: 0 });
  }
  const verdicts = { right: 0, rightAside: 0, wrong: 0, wrongAside: 0 };
  let [steadyDoors, exactDoors] = [0, 0];
  for (let index = 0; index < DOORS; index++) {
    const door = simulate(random, [1, 7, 30, 91][index % 4]!);
    const peers = prior(random);
    const modulus = door.modulusKnown ? door.modulus : null;
    const counter = { from: -DAY, to: null, modulus, startCycles: null, startValue: null };
    const unwrapped = unwrap(door.readings, [counter], { minCycleSeconds: 15 });
    const { at, cycles } = unwrapped.history;
    if (!door.lostCount) {
      unwrapped.verdicts.forEach((verdict, reading) => {
        const aside = !verdict.startsWith('used') && verdict !== 'duplicate';
        if (door.wrong[reading]) {
          verdicts.wrong += 1;
          if (aside || verdict === 'duplicate') verdicts.wrongAside += 1;
        } else {
          verdicts.right += 1;
          if (aside) verdicts.rightAside += 1;
        }
      });
      steadyDoors += 1;
      const dayOf = (instant: number) => Math.round(instant / DAY);
      const gained = door.cycles[dayOf(at.at(-1)!)]! - door.cycles[dayOf(at[0]!)]!;
      const counted = cycles.at(-1)! - cycles[0]!;
      if (counted === gained) exactDoors += 1;
    }
    const model = estimateDuty(unwrapped.history, peers, door.days * DAY);
    const rate = trailingRate(at, cycles) ?? peers.cyclesPerDay;
    for (const [horizon, tally] of tallies) {
      const came = door.cycles[door.days + horizon]! - door.cycles[door.days]!;
      const said = cyclesAhead(model, horizon);
      const until = daysUntil(model, came);
      tally.doors += 1;
      if (came >= said.p10 && came <= said.p90) tally.coveredCycles += 1;
      if (horizon >= until.p10 && horizon <= until.p90) tally.coveredDays += 1;
      tally.pinball += pinball(said, came) / came;
      tally.pinballTrailing += pinball({ p10: rate * horizon, p50: rate * horizon, p90: rate * horizon }, came) / came;
    }
  }
  return { tallies, verdicts, steadyDoors, exactDoors };
}

/** Mean of the last 90 days or the last step, whichever is longer, over the same used readings. */
function trailingRate(at: Float64Array, cycles: Float64Array): number | null {
  const last = at.length - 1;
  let first = last;
  while (first > 0 && at[last]! - at[first]! < 90 * DAY) first -= 1;
  return first < last ? (cycles[last]! - cycles[first]!) / ((at[last]! - at[first]!) / DAY) : null;
}

describe(`a simulated fleet of ${DOORS} doors with every trouble (seed ${SEED})`, () => {
  const { tallies, verdicts, steadyDoors, exactDoors } = runFleet();

  it.each([30, 90, 180])('%i days ahead', (horizon) => {
    const tally = tallies.get(horizon)!;
    const [cycles, days] = [tally.coveredCycles / tally.doors, tally.coveredDays / tally.doors];
    const ratio = tally.pinball / tally.pinballTrailing;
    console.log(
      `fleet, ${horizon} d ahead: 80 % interval of cycles covers ${(100 * cycles).toFixed(1)} %, of days ` +
        `${(100 * days).toFixed(1)} %, pinball ${ratio.toFixed(2)} of the trailing 90-day mean`,
    );
    expect(tally.doors).toBe(DOORS);
    for (const coverage of [cycles, days]) {
      expect(coverage).toBeGreaterThanOrEqual(0.75);
      expect(coverage).toBeLessThanOrEqual(0.85);
    }
    expect(ratio).toBeLessThanOrEqual(0.9);
  });

  it('verdicts: wrong values are set aside, right ones are not', () => {
    const caught = verdicts.wrongAside / verdicts.wrong;
    const lost = verdicts.rightAside / verdicts.right;
    console.log(
      `fleet, verdicts: ${(100 * caught).toFixed(1)} % of ${verdicts.wrong} wrong readings set aside, ` +
        `${(100 * lost).toFixed(2)} % of ${verdicts.right} right ones; lifetime exact at ${exactDoors} of ${steadyDoors} doors`,
    );
    expect(verdicts.wrong).toBeGreaterThan(300);
    expect(caught).toBeGreaterThan(0.85);
    expect(lost).toBeLessThan(0.005);
    expect(exactDoors / steadyDoors).toBeGreaterThan(0.9);
  });
});
