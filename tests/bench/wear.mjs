/**
 * Wear models: the fit of many censored lives over one pass of Math.log and Math.exp over the same ages, and the outlook of
 * 60,000 parts over the duty projection of their 10,000 doors. Ratios within one run, in CPU time of this process, so that a
 * busy machine does not matter; the middle of five turns.
 */
import { DEFAULT_PRIOR, dutyNodes, estimateDuty, fitWeibull, partOutlook, priorModel, unwrap } from '@lintel/engine';

const TURNS = 5;
const DAY_MS = 86_400_000;

const cpuMs = () => process.cpuUsage().user / 1000 + process.cpuUsage().system / 1000;

function middle(values) {
  return values.toSorted((a, b) => a - b)[Math.floor(values.length / 2)];
}

/** Middle CPU milliseconds of a piece of work; its answers are summed so that none of it can be left out. */
function timed(work) {
  const times = [];
  let sum = 0;
  for (let turn = 0; turn < TURNS; turn++) {
    const before = cpuMs();
    sum += work();
    times.push(cpuMs() - before);
  }
  if (!Number.isFinite(sum)) throw new Error('the work gave no number');
  return middle(times);
}

/** A seeded generator (mulberry32). */
function seeded(seed) {
  let state = seed >>> 0;
  return () => {
    state = (state + 0x6d2b79f5) >>> 0;
    let t = Math.imul(state ^ (state >>> 15), state | 1);
    t = (t + Math.imul(t ^ (t >>> 7), t | 61)) ^ t;
    return (((t ^ (t >>> 14)) >>> 0) + 0.5) / 4294967296;
  };
}

function censoredLives(count) {
  const random = seeded(count);
  const lives = { age: new Float64Array(count), event: new Uint8Array(count) };
  for (let i = 0; i < count; i++) {
    const life = 1e5 * (-Math.log(random())) ** (1 / 2.3);
    const end = 2e5 * random();
    lives.age[i] = Math.min(life, end);
    lives.event[i] = life <= end ? 1 : 0;
  }
  return lives;
}

/** Milliseconds of fitting so many censored lives, and of one pass of log and exp over their ages. */
export function benchFit(count) {
  const lives = censoredLives(count);
  const pass = timed(() => {
    let sum = 0;
    for (let i = 0; i < count; i++) sum += Math.exp(1e-3 * Math.log(lives.age[i]));
    return sum;
  });
  const fit = timed(() => fitWeibull(lives).shape);
  return { fit, pass, ratio: fit / pass };
}

/** Milliseconds of the outlooks of six parts at each of so many doors, and of the doors' duty alone; one core. */
export function benchOutlook(doors) {
  const random = seeded(5);
  const asOf = Date.UTC(2026, 0, 1);
  const histories = Array.from({ length: doors }, () => {
    const rate = 50 + 400 * random();
    let value = 0;
    const readings = Array.from({ length: 100 }, (_, k) => {
      value += Math.round(rate * 5 * (0.8 + 0.4 * random()));
      return { at: asOf - (100 - k) * 5 * DAY_MS, value };
    });
    return {
      readings,
      counters: [{ from: asOf - 505 * DAY_MS, to: null, modulus: 1_000_000, startCycles: 0, startValue: 0 }],
    };
  });
  const model = priorModel({ b10Cycles: 300_000, b10Months: null, shape: 2.5, shapeSpread: 0.25, ratingSpread: 0.4 });
  let duties = [];
  const duty = timed(() => {
    duties = histories.map(({ readings, counters }) =>
      estimateDuty(unwrap(readings, counters, { minCycleSeconds: 20 }).history, DEFAULT_PRIOR, asOf),
    );
    return duties.length;
  });
  const outlook = timed(() => {
    let sum = 0;
    for (const door of duties) {
      const nodes = dutyNodes(door);
      for (let part = 0; part < 6; part++) sum += partOutlook(model, part * 50_000, nodes).daysAhead.p50;
    }
    return sum;
  });
  return { outlook, duty, ratio: outlook / duty };
}
