import { describe, expect, it } from 'vitest';
import fc from 'fast-check';
import { unwrap } from '@lintel/engine';
import type { CounterSpan, RawReading, Verdict } from '@lintel/engine';

const DAY = 86_400_000;
const OPTIONS = { minCycleSeconds: 10 };

const counter = (given: Partial<CounterSpan> = {}): CounterSpan => ({
  from: 0,
  to: null,
  modulus: null,
  startCycles: null,
  startValue: null,
  ...given,
});

/** Readings from [day, value] pairs. */
const readingsOf = (...pairs: [number, number][]): RawReading[] => pairs.map(([day, value]) => ({ at: day * DAY, value }));

const verdictsOf = (readings: RawReading[], counters: CounterSpan[] = []): Verdict[] =>
  unwrap(readings, counters, OPTIONS).verdicts;

const totalOf = (readings: RawReading[], counters: CounterSpan[] = []): number =>
  unwrap(readings, counters, OPTIONS).history.cycles.at(-1)!;

describe('verdicts by name', () => {
  it('uses a line that rises, in the order of the input', () => {
    const readings = readingsOf([30, 1300], [0, 1000], [10, 1100]);
    const { verdicts, history } = unwrap(readings, [], OPTIONS);
    expect(verdicts).toEqual(['used', 'used', 'used']);
    expect([...history.at]).toEqual([0, 10 * DAY, 30 * DAY]);
    expect([...history.cycles]).toEqual([1000, 1100, 1300]);
    expect([...history.estimated]).toEqual([0, 0, 0]);
  });

  it('answers nothing to nothing', () => {
    const { verdicts, history } = unwrap([], [], OPTIONS);
    expect(verdicts).toEqual([]);
    expect(history.at.length).toBe(0);
  });

  it('rollover: the counter names its modulus', () => {
    const readings = readingsOf([0, 999_000], [10, 999_900], [20, 800], [30, 1700]);
    expect(verdictsOf(readings, [counter({ modulus: 1_000_000 })])).toEqual(['used', 'used', 'used-rollover', 'used']);
    expect(totalOf(readings, [counter({ modulus: 1_000_000 })])).toBe(1_001_700);
  });

  it('rollover: an odd modulus of the options', () => {
    const readings = readingsOf([0, 65_000], [10, 65_500], [20, 464], [30, 964]);
    const { verdicts, history } = unwrap(readings, [], { ...OPTIONS, modulus: 65_536 });
    expect(verdicts[2]).toBe('used-rollover');
    expect(history.cycles[3]).toBe(65_536 + 964);
  });

  it('rollover: guessed from just under a power of ten', () => {
    const readings = readingsOf([0, 99_000], [10, 99_500], [20, 20], [30, 540]);
    expect(verdictsOf(readings)).toEqual(['used', 'used', 'used-rollover', 'used']);
    expect(totalOf(readings)).toBe(100_540);
  });

  it('an explicit modulus wins over the power of ten', () => {
    const readings = readingsOf([0, 99_000], [10, 99_500], [20, 20], [30, 540]);
    expect(verdictsOf(readings, [counter({ modulus: 1_000_000 })])[2]).toBe('used-reset');
  });

  it('reset: a new count begins, the gap is estimated by the rate and marked', () => {
    const readings = readingsOf([0, 5000], [10, 6000], [20, 7000], [30, 400], [40, 1400]);
    const { verdicts, history } = unwrap(readings, [], OPTIONS);
    expect(verdicts).toEqual(['used', 'used', 'used', 'used-reset', 'used']);
    expect([...history.cycles]).toEqual([5000, 6000, 7000, 8000, 9000]);
    expect([...history.estimated]).toEqual([0, 0, 0, 1, 0]);
  });

  it('reset: the last reading fell to near nothing', () => {
    expect(verdictsOf(readingsOf([0, 5000], [10, 6000], [20, 7000], [30, 400]))).toEqual([
      'used',
      'used',
      'used',
      'used-reset',
    ]);
  });

  it('duplicate: same instant, same value', () => {
    expect(verdictsOf(readingsOf([0, 1000], [10, 1100], [10, 1100], [20, 1200]))).toEqual([
      'used',
      'used',
      'duplicate',
      'used',
    ]);
  });

  it('out of order: another value at the same instant', () => {
    const verdicts = verdictsOf(readingsOf([0, 1000], [10, 1100], [10, 1900], [20, 1200]));
    expect(verdicts).toEqual(['used', 'used', 'out-of-order', 'used']);
  });

  it('out of order: a value that belongs to an earlier time', () => {
    expect(verdictsOf(readingsOf([0, 1000], [10, 1100], [20, 1200], [25, 1050], [30, 1300]))[3]).toBe('out-of-order');
  });

  it('too fast: more cycles than the door can make', () => {
    // A day has room for 8,640 cycles of ten seconds.
    expect(verdictsOf(readingsOf([0, 1000], [1, 1100], [2, 88_000], [3, 1300]))[2]).toBe('too-fast');
    expect(verdictsOf(readingsOf([0, 1000], [1, 1100], [2, 88_000]))[2]).toBe('too-fast');
  });

  it('mistyped: the next reading returns to the old line', () => {
    expect(verdictsOf(readingsOf([0, 1000], [10, 1100], [20, 7200], [30, 1300], [40, 1400]))[2]).toBe('mistyped');
    expect(verdictsOf(readingsOf([0, 1000], [10, 1100], [20, 20], [30, 1300], [40, 1400]))[2]).toBe('mistyped');
  });

  it('mistyped: two in a row', () => {
    const readings = readingsOf([0, 99_000], [30, 100_900], [60, 1000], [90, 1010], [120, 106_900], [150, 108_800]);
    expect(verdictsOf(readings)).toEqual(['used', 'used', 'mistyped', 'mistyped', 'used', 'used']);
  });

  it('mistyped: a digit too many, also as the last word', () => {
    expect(verdictsOf(readingsOf([0, 51_000], [10, 52_000], [20, 530_00 * 10], [30, 54_000]))[2]).toBe('mistyped');
    expect(verdictsOf(readingsOf([0, 51_000], [10, 52_000], [20, 533_000]))[2]).toBe('mistyped');
  });

  it('mistyped: two digits swapped upwards', () => {
    expect(verdictsOf(readingsOf([0, 132_000], [10, 132_900], [20, 313_800], [30, 134_700]))[2]).toBe('mistyped');
  });

  it('mistyped: more digits than the counter has', () => {
    expect(verdictsOf(readingsOf([0, 9000], [10, 9100], [20, 92_000]), [counter({ modulus: 10_000 })])[2]).toBe('mistyped');
  });

  it('stuck: the first of the run is used, the cycles lost while it stood are estimated', () => {
    const readings = readingsOf([0, 1000], [10, 2000], [20, 3000], [30, 3000], [40, 3000], [50, 4000], [60, 5000]);
    const { verdicts, history } = unwrap(readings, [], OPTIONS);
    expect(verdicts).toEqual(['used', 'used', 'used', 'stuck', 'stuck', 'used', 'used']);
    expect([...history.cycles]).toEqual([1000, 2000, 3000, 6000, 7000]);
    expect([...history.estimated]).toEqual([0, 0, 0, 1, 0]);
  });

  it('stuck: a display that froze and caught up has lost nothing', () => {
    const readings = readingsOf([0, 1000], [10, 2000], [20, 3000], [30, 3000], [40, 3000], [50, 6000], [60, 7000]);
    const { verdicts, history } = unwrap(readings, [], OPTIONS);
    expect(verdicts.filter((verdict) => verdict === 'stuck').length).toBe(2);
    expect([...history.cycles]).toEqual([1000, 2000, 3000, 6000, 7000]);
    expect([...history.estimated]).toEqual([0, 0, 0, 0, 0]);
  });

  it('a closed weekend is not a stuck counter', () => {
    const readings = readingsOf([0, 1000], [1, 1200], [2, 1200], [3, 1200], [4, 1400], [5, 1600]);
    expect(verdictsOf(readings)).toEqual(['used', 'used', 'used', 'used', 'used', 'used']);
  });

  it('throws one clear error that names the reading', () => {
    expect(() => unwrap(readingsOf([0, 1], [1, -1]), [], OPTIONS)).toThrow('reading 1: value');
    expect(() => unwrap([{ at: NaN, value: 1 }], [], OPTIONS)).toThrow('reading 0: at');
    expect(() => unwrap([{ at: 0, value: 1, counter: 3 }], [counter()], OPTIONS)).toThrow('reading 0: counter');
    expect(() => unwrap([], [], { minCycleSeconds: 0 })).toThrow('minCycleSeconds');
  });
});

describe('overrules', () => {
  it('sets aside what the planner sets aside', () => {
    const readings = readingsOf([0, 1000], [10, 1100], [20, 1200]);
    readings[1]!.overruled = 'set-aside';
    const { verdicts, history } = unwrap(readings, [], OPTIONS);
    expect(verdicts).toEqual(['used', 'set-aside', 'used']);
    expect(history.at.length).toBe(2);
  });

  it("uses what the planner uses: too fast, a fall, a stand still", () => {
    const fast = readingsOf([0, 1000], [1, 1100], [2, 88_000], [3, 88_100]);
    fast[2]!.overruled = 'use';
    expect(verdictsOf(fast)).toEqual(['used', 'used', 'used', 'used']);
    expect(totalOf(fast)).toBe(88_100);
    const fallen = readingsOf([0, 1000], [10, 1100], [20, 20], [30, 1300], [40, 1400]);
    fallen[2]!.overruled = 'use';
    expect(verdictsOf(fallen)[2]).toBe('used-reset');
    const still = readingsOf([0, 1000], [10, 2000], [20, 3000], [30, 3000], [40, 3000], [50, 4000]);
    still[4]!.overruled = 'use';
    still[3]!.overruled = 'use';
    expect(verdictsOf(still)).toEqual(['used', 'used', 'used', 'used', 'used', 'used']);
    expect(totalOf(still)).toBe(4000);
  });

  it('cannot use two values of one instant', () => {
    const readings = readingsOf([0, 1000], [10, 1100], [10, 1150], [20, 1200]);
    readings[1]!.overruled = 'use';
    readings[2]!.overruled = 'use';
    expect(verdictsOf(readings)).toEqual(['used', 'used', 'out-of-order', 'used']);
  });
});

describe('successive counters', () => {
  const counters = [
    counter({ from: 0, to: 25 * DAY, startCycles: 0, startValue: 0 }),
    counter({ from: 25 * DAY, startCycles: 2500, startValue: 10 }),
  ];

  it('goes on from what is known of the change, with no guess', () => {
    const readings = readingsOf([10, 1000], [20, 2000], [30, 510], [40, 1510]);
    const { verdicts, history } = unwrap(readings, counters, OPTIONS);
    expect(verdicts).toEqual(['used', 'used', 'used', 'used']);
    expect([...history.cycles]).toEqual([1000, 2000, 3000, 4000]);
    expect([...history.estimated]).toEqual([0, 0, 0, 0]);
    expect(history.start).toEqual({ at: 0, cycles: 0 });
  });

  it('estimates what is not known of the change, and says so', () => {
    const unknown = [counters[0]!, counter({ from: 25 * DAY })];
    const { verdicts, history } = unwrap(readingsOf([10, 1000], [20, 2000], [30, 500], [40, 1500]), unknown, OPTIONS);
    expect(verdicts).toEqual(['used', 'used', 'used-reset', 'used']);
    expect([...history.cycles]).toEqual([1000, 2000, 3000, 4000]);
    expect([...history.estimated]).toEqual([0, 0, 1, 0]);
  });

  it('finds a first reading impossible that the fitting forbids', () => {
    expect(verdictsOf(readingsOf([1, 91_000], [2, 200], [3, 300]), [counter({ startCycles: 0 })])[0]).toBe('too-fast');
  });
});

// A true counter: readings every one to sixty days, a duty that varies nearly fourfold, no standing still.
const increments = fc.array(
  fc.record({ days: fc.integer({ min: 1, max: 60 }), perDay: fc.integer({ min: 80, max: 300 }) }),
  { minLength: 4, maxLength: 60 },
);

interface Truth {
  at: number[];
  cycles: number[];
}

function truthOf(steps: { days: number; perDay: number }[]): Truth {
  const truth: Truth = { at: [], cycles: [] };
  let day = 0;
  let cycles = 0;
  for (const step of steps) {
    day += step.days;
    cycles += step.days * step.perDay;
    truth.at.push(day * DAY);
    truth.cycles.push(cycles);
  }
  return truth;
}

describe('properties', () => {
  it('a true history mangled by rollover, known change, duplicates and shuffling yields its true cycles', () => {
    fc.assert(
      fc.property(
        increments,
        fc.constantFrom(100_000, 65_536, 1_000_000),
        fc.nat(99_999),
        fc.array(fc.nat(), { maxLength: 10 }),
        fc.nat(),
        fc.infiniteStream(fc.double({ min: 0, max: 1, noNaN: true })),
        (steps, modulus, startCycles, copies, changeSeed, chance) => {
          const truth = truthOf(steps);
          // Cycles stand at startCycles when the first counter is fitted; half-way in time a second one
          // follows.
          const change = changeSeed % truth.at.length;
          const changeAt = truth.at[change]! + 1;
          const changeCycles = startCycles + truth.cycles[change]!;
          const counters = [
            counter({ to: changeAt, modulus, startCycles, startValue: startCycles % modulus }),
            counter({ from: changeAt, modulus, startCycles: changeCycles, startValue: 7 }),
          ];
          const readings = truth.at.map((at, index): RawReading => {
            const cycles = startCycles + truth.cycles[index]!;
            return at < changeAt
              ? { at, value: cycles % modulus }
              : { at, value: (cycles - changeCycles + 7) % modulus };
          });
          const mangled = [...readings, ...copies.map((copy) => ({ ...readings[copy % readings.length]! }))];
          for (let index = mangled.length - 1; index > 0; index--) {
            const other = Math.floor(chance.next().value * index);
            [mangled[index], mangled[other]] = [mangled[other]!, mangled[index]!];
          }
          const frozen = Object.freeze(mangled.map((reading) => Object.freeze(reading)));
          const { verdicts, history } = unwrap(frozen, counters, { minCycleSeconds: 60 });
          expect([...history.cycles]).toEqual(truth.cycles.map((cycles) => cycles + startCycles));
          expect(verdicts.filter((verdict) => verdict === 'duplicate').length).toBe(copies.length);
        },
      ),
      { numRuns: 300 },
    );
  });

  it('whatever is read: one verdict each, lifetime never falls, order changes nothing', () => {
    fc.assert(
      fc.property(
        fc.array(
          fc.record({
            at: fc.integer({ min: 0, max: 400 }).map((day) => day * DAY),
            value: fc.oneof(fc.nat(9999), fc.nat(2_000_000)),
          }),
          { maxLength: 40 },
        ),
        (readings) => {
          const one = unwrap(readings, [], OPTIONS);
          const other = unwrap([...readings].reverse(), [], OPTIONS);
          expect(one.verdicts.length).toBe(readings.length);
          expect(one.verdicts.filter((verdict) => verdict.startsWith('used')).length).toBe(one.history.at.length);
          for (let index = 0; index < one.history.at.length; index++) {
            expect(Number.isFinite(one.history.cycles[index])).toBe(true);
            if (index === 0) continue;
            expect(one.history.at[index]).toBeGreaterThan(one.history.at[index - 1]!);
            expect(one.history.cycles[index]).toBeGreaterThanOrEqual(one.history.cycles[index - 1]!);
          }
          expect(other.history).toEqual(one.history);
        },
      ),
      { numRuns: 300 },
    );
  });
});
