/**
 * Routes against open instances and against their own limits. Not part of the tests: it measures, and prints what it saw.
 *
 *   npm run bench:routes -- [FOLDER] [--seconds 10] [--seeds 1] [--threads 1] [--only INSTANCE,…,plane,week,service] [--parts solomon,large,length,vehicles,moves]
 *
 * FOLDER (or SOLOMON_FOLDER) holds Solomon's instances NAME.txt, each with the best known solution NAME.sol (distances
 * truncated to one decimal, least distance); by default the shared data beside the project. Seconds are CPU seconds of this
 * process, so that a busy machine does not shorten the search; the load average is printed. With `--threads` above 1 the part
 * `large` searches as the job that makes plans does, by the clock on the wall: then the machine must be quiet.
 */
import { existsSync, readdirSync, readFileSync } from 'node:fs';
import { loadavg, cpus } from 'node:os';
import { join, resolve } from 'node:path';
import { parseArgs } from 'node:util';
import { usualRouteSettings } from '../../packages/contract/dist/index.js';
import { solveInThreads } from '../../apps/worker/dist/routes/solveInThreads.js';
import { buildRouteModel } from '../../packages/engine/dist/routes/buildRouteModel.js';
import { estimatedTravel, priceMoves, pricePlan, routeProblemOf, solveRoutes, visitsFromDemand } from '../../packages/engine/dist/routes/index.js';
import { InsertionCache } from '../../packages/engine/dist/routes/insertionCache.js';
import { PlanState } from '../../packages/engine/dist/routes/planState.js';

const { values, positionals } = parseArgs({
  allowPositionals: true,
  options: {
    seconds: { type: 'string', default: '10' },
    seeds: { type: 'string', default: '1' },
    threads: { type: 'string', default: '1' },
    only: { type: 'string', default: '' },
    parts: { type: 'string', default: 'solomon,large,length' },
  },
});
const folder = positionals[0] ?? process.env.SOLOMON_FOLDER ?? resolve(import.meta.dirname, '../../../shared/data/solomon');
const seconds = Number(values.seconds);
const seeds = Number(values.seeds);
const threads = Number(values.threads);
const parts = values.parts.split(',');
const only = values.only.split(',').filter(Boolean);

/** The CPU clock costs more than an iteration to read. */
const SLICE_ITERATIONS = 1024;

/** CPU milliseconds of this process. */
const cpuMs = () => {
  const { user, system } = process.cpuUsage();
  return (user + system) / 1000;
};

function solve(problem, seed, limit = seconds) {
  const startedMs = cpuMs();
  const solution = solveRoutes(problem, {
    seed,
    budget: { seconds: limit, nowMs: cpuMs },
    sliceIterations: SLICE_ITERATIONS,
  });
  if ('faults' in solution) throw new Error(JSON.stringify(solution.faults));
  check(problem, solution);
  return { ...solution, tookSeconds: (cpuMs() - startedMs) / 1000 };
}

async function solveAsTheJobDoes(problem, seed, limit) {
  const startedMs = performance.now();
  const solution = await solveInThreads({ problem, start: [], seed, seconds: limit }, threads, async () => 'go-on');
  check(problem, solution);
  return { ...solution, tookSeconds: (performance.now() - startedMs) / 1000 };
}

/** The plan priced again in its own order: nothing broken, the same price. */
function check(problem, solution) {
  const plan = solution.routes.map((route) => ({ ...route, stops: route.stops.map(({ id }) => id) }));
  const priced = pricePlan(problem, plan);
  if (priced.breaches.length > 0 || Math.abs(priced.cost - solution.cost) > 1e-6) {
    throw new Error(`the plan breaks rules or costs ${priced.cost}, not ${solution.cost}`);
  }
}

function readSolomon(file) {
  const lines = readFileSync(file, 'utf8').split(/\r?\n/);
  const numbers = lines.map((line) => line.trim().split(/\s+/).map(Number));
  const [vehicles, capacity] = numbers.find((row) => row.length === 2 && row.every(Number.isFinite));
  const rows = numbers.filter((row) => row.length === 7 && row.every(Number.isFinite));
  const [, , , , ready, due] = rows[0];
  return {
    travelMinutes: rows.map(([, x, y]) =>
      rows.map(([, otherX, otherY]) => Math.floor(10 * Math.hypot(x - otherX, y - otherY)) / 10),
    ),
    technicians: Array.from({ length: vehicles }, (_, index) => ({
      id: `vehicle ${index + 1}`,
      home: 0,
      skills: [],
      capacity: [capacity],
      shifts: [{ from: ready, to: due }],
    })),
    stops: rows.slice(1).map(([number, , , demand, from, to, minutes], index) => ({
      id: String(number),
      place: index + 1,
      minutes,
      skills: [],
      load: [demand],
      windows: [{ from, to }],
    })),
  };
}

function bestKnown(file) {
  return Number(/^Cost\s+([\d.]+)/m.exec(readFileSync(file, 'utf8'))[1]);
}

function say(...columns) {
  console.log(columns.map((column) => String(column).padEnd(16)).join(''));
}

function benchSolomon() {
  const names = readdirSync(folder)
    .filter((name) => name.endsWith('.txt') && existsSync(join(folder, name.replace('.txt', '.sol'))))
    .map((name) => name.slice(0, -4))
    .filter((name) => only.length === 0 || only.includes(name))
    .sort();
  console.log(`\nSolomon, least distance truncated to one decimal, ${seconds} CPU seconds, ${seeds} seed(s)`);
  say('instance', 'seed', 'distance', 'best known', 'gap %', 'vehicles', 'iterations/s');
  const gaps = [];
  for (const name of names) {
    const problem = readSolomon(join(folder, `${name}.txt`));
    const known = bestKnown(join(folder, `${name}.sol`));
    for (let seed = 1; seed <= seeds; seed++) {
      const found = solve(problem, seed);
      const gap = 100 * (found.cost / known - 1);
      gaps.push(gap);
      const speed = Math.round(found.iterations / found.tookSeconds);
      say(name, seed, found.cost.toFixed(1), known, gap.toFixed(3), found.routes.length, speed);
    }
  }
  const mean = gaps.reduce((sum, gap) => sum + gap, 0) / gaps.length;
  console.log(`mean gap ${mean.toFixed(4)} %, worst ${Math.max(...gaps).toFixed(3)} %`);
}

/** Least vehicles first, then distance, in double precision: a vehicle costs more than any distance could save. */
function benchVehicles() {
  console.log(`\nSolomon, least vehicles, then distance, in double precision, ${seconds} CPU seconds`);
  say('instance', 'vehicles', 'distance');
  for (const name of readdirSync(folder).filter((file) => /^(C|R|RC)\d+\.txt$/.test(file)).sort()) {
    const problem = readSolomon(join(folder, name));
    const rows = readFileSync(join(folder, name), 'utf8').split(/\r?\n/).map((line) => line.trim().split(/\s+/).map(Number));
    const points = rows.filter((row) => row.length === 7 && row.every(Number.isFinite));
    problem.travelMinutes = points.map(([, x, y]) => points.map(([, otherX, otherY]) => Math.hypot(x - otherX, y - otherY)));
    for (const technician of problem.technicians) technician.fixedCost = 2000;
    const found = solve(problem, 1);
    say(name.slice(0, -4), found.routes.length, found.travel.toFixed(2));
  }
}

/** Seeded uniform numbers for generated cases. */
function draws(seed) {
  let state = seed;
  return (below) => {
    state = (state * 48271) % 2147483647;
    return state % below;
  };
}

/** 400 stops on a plane of 140 by 140, half in clusters, windows on three of four: the form of the open 400-customer sets. */
function large400(seed) {
  const draw = draws(seed);
  const centres = Array.from({ length: 16 }, () => [draw(140), draw(140)]);
  const points = [[70, 70]];
  for (let stop = 0; stop < 400; stop++) {
    const [x, y] = centres[draw(16)];
    points.push(stop % 2 ? [draw(140), draw(140)] : [x + draw(13) - 6, y + draw(13) - 6]);
  }
  return {
    travelMinutes: planeMinutes(points),
    technicians: Array.from({ length: 100 }, (_, index) => ({
      id: `vehicle ${index}`, home: 0, skills: [], capacity: [200], shifts: [{ from: 0, to: 900 }],
    })),
    stops: points.slice(1).map((_, index) => {
      const from = 110 + draw(600);
      const windows = draw(4) === 0 ? [] : [{ from, to: from + 30 + draw(120) }];
      return { id: String(index), place: index + 1, minutes: 10, skills: [], load: [1 + draw(40)], windows };
    }),
  };
}

function planeMinutes(points) {
  return points.map(([x, y]) => points.map(([otherX, otherY]) => Math.floor(10 * Math.hypot(x - otherX, y - otherY)) / 10));
}

/** A week of 400 stops for 8 technicians: skills, hours of the sites, due prices, a price for leaving out, two kinds of load. */
function week400(seed) {
  const draw = draws(seed);
  const sites = Array.from({ length: 90 }, () => [draw(120), draw(120)]);
  const homes = Array.from({ length: 8 }, () => [draw(120), draw(120)]);
  const skills = ['mains', 'refrigeration', 'height'];
  return {
    travelMinutes: planeMinutes([...sites, ...homes]),
    technicians: homes.map((_, index) => ({
      id: `technician ${index}`,
      home: sites.length + index,
      skills: skills.filter((_, skill) => (index + skill) % 3 !== 0),
      capacity: [60, 30],
      shifts: [0, 1, 2, 3, 4].map((day) => ({ from: day * 1440 + 420, to: day * 1440 + 960 })),
      fixedCost: 20,
    })),
    stops: Array.from({ length: 400 }, (_, index) => {
      const opens = 420 + 60 * draw(5);
      const days = [0, 1, 2, 3, 4].filter(() => draw(3) > 0);
      const windows = days.map((day) => ({ from: day * 1440 + opens, to: day * 1440 + opens + 120 + 60 * draw(4) }));
      return {
        id: `stop ${index}`,
        place: draw(sites.length),
        minutes: 15 + 5 * draw(8),
        skills: draw(4) === 0 ? [skills[draw(3)]] : [],
        load: [draw(6), draw(3)],
        windows,
        latePrice: { after: draw(5) * 1440 + 960, perMinute: 0.01 + draw(5) / 100 },
        unservedPrice: 40 + draw(200),
      };
    }),
  };
}

/**
 * A week as a service company has it: 400 sites in towns round 8 homes, what their doors want by the product's own bundling
 * and pricing (`visitsFromDemand`, `routeProblemOf`), sites open on all five days at hours of their own, some by skill.
 */
function serviceWeek(seed) {
  const draw = draws(seed);
  const since = '2026-03-02';
  const dayOf = (day) => new Date(Date.UTC(2026, 2, 2 + day)).toISOString().slice(0, 10);
  const within = (degrees) => ((draw(2001) - 1000) / 1000) * degrees;
  const towns = Array.from({ length: 14 }, () => ({ latitude: 47 + within(0.6), longitude: 9 + within(0.9) }));
  const near = (town) => ({ latitude: town.latitude + within(0.08), longitude: town.longitude + within(0.12) });
  const homes = Array.from({ length: 8 }, (_, index) => near(towns[index]));
  const sites = Array.from({ length: 400 }, () => near(towns[draw(towns.length)]));
  const skills = ['mains', 'refrigeration', 'height'];
  const technicianSkills = homes.map((_, index) => skills.filter((_, skill) => (index + skill) % 3 !== 0));
  const { prices, speedKmh, detourFactor, visitMinutes, horizonDays } = usualRouteSettings;
  const hours = [[420, 1020], [420, 1020], [420, 720], [360, 600], [780, 1020]];
  const siteHours = sites.map(() => hours[draw(hours.length)]);
  const demand = sites.flatMap((_, site) =>
    Array.from({ length: 1 + draw(3) }, (_, index) => {
      const kind = index === 0 ? ['safety', 'due', 'due', 'order'][draw(4)] : ['due', 'finding'][draw(2)];
      const dueOn = dayOf(draw(12) - 3);
      return {
        key: `work ${site} ${index}`, kind, siteId: String(site).padStart(3, '0'), doorId: `door ${site} ${index}`,
        minutes: 10 + 5 * draw(4), skills: index === 0 && draw(4) === 0 ? [skills[draw(3)]] : [], parts: [], earliestOn: null, dueOn,
        latestOn: kind === 'safety' ? dueOn : null, ...(kind === 'finding' ? { grade: ['unsafe', 'defect', 'note'][draw(3)] } : {}),
        ...(kind === 'safety' || kind === 'due' ? { intervalDays: [91, 182, 365][draw(3)] } : {}),
      };
    }),
  );
  const visits = visitsFromDemand(demand, { fromOn: since, horizonDays, visitMinutes, prices, technicianSkills });
  const points = [...homes, ...sites];
  const travel = points.map((from) => points.map((to) => estimatedTravel(from, to, { speedKmh, detourFactor })));
  const spans = ([from, to]) => [0, 1, 2, 3, 4].map((day) => ({ on: dayOf(day), from: day * 1440 + from, to: day * 1440 + to }));
  return routeProblemOf({
    visits: visits.map(({ siteId, items, minutes, skills: needs, notBefore }, index) => ({
      id: `visit ${index}`, place: homes.length + Number(siteId), items, minutes, skills: needs, notBefore, windows: spans(siteHours[Number(siteId)]),
    })),
    technicians: homes.map((_, home) => ({ id: `technician ${home}`, home, skills: technicianSkills[home], shifts: spans([420, 960]) })),
    minutes: travel.map((row) => row.map(({ minutes }) => minutes)), km: travel.map((row) => row.map(({ km }) => km)), since, nextOn: dayOf(5), prices,
  });
}

async function benchLarge() {
  console.log(`\n400 stops, made by a seeded generator: plans after a short search (${seeds} seeds, ${threads} thread(s)) against one after a long search`);
  const search = threads > 1 ? solveAsTheJobDoes : solve;
  say('case', 'short', 'seconds', 'long', 'seconds', 'above long %', 'worst %', 'iterations/s');
  const cases = [
    ['plane', large400(7), 6 * seconds, 20 * seconds],
    ['week', week400(7), 3 * seconds, 60 * seconds],
    ['service', serviceWeek(7), 3 * seconds, 60 * seconds],
  ].filter(([name]) => only.length === 0 || only.includes(name));
  for (const [name, problem, short, long] of cases) {
    const quick = [];
    for (let seed = 1; seed <= seeds; seed++) quick.push(await search(problem, seed, short));
    const slow = await search(problem, 1 + seeds, long);
    const costs = quick.map(({ cost }) => cost);
    const mean = costs.reduce((sum, cost) => sum + cost, 0) / seeds;
    const above = (cost) => (100 * (cost / slow.cost - 1)).toFixed(2);
    const speed = Math.round(quick[0].iterations / quick[0].tookSeconds);
    say(name, mean.toFixed(1), short, slow.cost.toFixed(1), long, above(mean), above(Math.max(...costs)), speed);
    const reasons = new Set(slow.unserved.map(({ reason }) => reason));
    console.log(`  ${slow.routes.length} routes, not served: ${slow.unserved.length} ${[...reasons].join(' ')}`);
  }
}

/** One insertion place judged, in routes of 10, 50 and 200 stops: time per place must not grow with the route. */
function benchLength() {
  console.log('\nOne insertion place judged, by stops on the route');
  say('stops', 'ns a place', 'with late prices, ns');
  for (const length of [10, 50, 200]) say(length, nanosecondsAPlace(length, false), nanosecondsAPlace(length, true));
}

function nanosecondsAPlace(length, late) {
  const draw = draws(5);
  const others = 40;
  const points = Array.from({ length: length + others + 1 }, () => [draw(100), draw(100)]);
  const model = buildRouteModel({
    travelMinutes: planeMinutes(points),
    technicians: [{ id: 'one', home: 0, skills: [], shifts: [{ from: 0, to: 1e5 }] }],
    stops: points.slice(1).map((_, index) => ({
      id: String(index),
      place: index + 1,
      minutes: 10,
      skills: [],
      windows: late ? [{ from: 0, to: 2e4 }, { from: 3e4, to: 1e5 }] : [{ from: 0, to: 1e5 }],
      ...(late ? { latePrice: { after: draw(20000), perMinute: 0.01 } } : {}),
    })),
  });
  const state = new PlanState(model);
  state.load([Array.from({ length }, (_, index) => index)]);
  const cache = new InsertionCache(model, state);
  const rounds = Math.ceil(4e6 / (length * others));
  const run = () => {
    for (let round = 0; round < rounds; round++) {
      for (let stop = length; stop < length + others; stop++) {
        cache.stamp[model.pairOf[stop]] = -1;
        cache.refresh(model.pairOf[stop], stop, 0);
      }
    }
  };
  run();
  const startedMs = cpuMs();
  run();
  return ((1e6 * (cpuMs() - startedMs)) / (rounds * others * (length + 1))).toFixed(1);
}

if (parts.includes('solomon')) benchSolomon();
if (parts.includes('vehicles')) benchVehicles();
if (parts.includes('large')) await benchLarge();
if (parts.includes('moves')) benchMoves();
if (parts.includes('length')) benchLength();
console.log(`\n${cpus().length} cores, load average ${loadavg().map((load) => load.toFixed(1)).join(' ')}`);

/** All places of one stop of a day of 60 stops: as eight routes, and as one long one (the worst case). */
function benchMoves() {
  const stops = Array.from({ length: 60 }, (_, at) => ({ id: `s${at}`, place: at + 1, minutes: 20, skills: [], windows: [{ from: 0, to: 600 + at }], unservedPrice: 100 }));
  const travelMinutes = Array.from({ length: 61 }, (_, from) => Array.from({ length: 61 }, (__, to) => (from === to ? 0 : 5 + ((from * 7 + to * 13) % 25))));
  for (const technicians of [8, 1]) {
    const problem = { travelMinutes, stops, technicians: Array.from({ length: technicians }, (_, at) => ({ id: `t${at}`, home: 0, skills: [], shifts: [{ from: 0, to: 3000 }] })) };
    const plan = problem.technicians.map(({ id }, at) => ({ technician: id, shift: 0, stops: stops.filter((_, index) => index % technicians === at).map((stop) => stop.id) }));
    const times = stops.map(({ id }) => {
      const started = performance.now();
      priceMoves(problem, plan, id);
      return performance.now() - started;
    }).sort((a, b) => a - b);
    console.log(`moves of one of 60 stops on ${technicians} route(s): median ${times[30].toFixed(2)} ms, longest ${times[59].toFixed(2)} ms (first call included)`);
  }
}
