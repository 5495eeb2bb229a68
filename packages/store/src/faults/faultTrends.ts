import { mostPoolDoors, mostTrends, type FaultCourse, type FaultPoolQuery, type FaultTrend, type FaultTrends } from '@lintel/contract';
import { LEAST_EVENTS_FOR_TREND, meanCumulative, repairTrend, type RepairHistory } from '@lintel/engine';
import type pg from 'pg';
import type { CompanyContext } from '../context.js';
import { loadCycleLines, type CycleLine } from './cycleLines.js';
import { loadFaultsOf, loadWatched, type DatedFault, type DoorsWanted, type WatchedDoor } from './faultDoors.js';

const DAY_MS = 86_400_000;
/** A chart shows no more steps. */
const MOST_STEPS = 400;
/** Shares of the watched time that are taken for an event at its very beginning: ages must be above 0. */
const LEAST_SHARE = 1e-9;

/** Which way the faults of each door go, getting worse first; doors with too few faults for a verdict are left out. */
export async function faultTrends(client: pg.ClientBase, context: CompanyContext, wanted: FaultPoolQuery, now: Date): Promise<FaultTrends> {
  const { doors, leftOut } = await loadWatched(client, wanted, {
    now: now.getTime(), leastFaults: LEAST_EVENTS_FOR_TREND, most: mostTrends,
  });
  const ids = doors.map(({ doorId }) => doorId);
  const faults = await loadFaultsOf(client, ids);
  const lines = await loadCycleLines(client, context.companyId, ids, now);
  const judged = doors.map((door) => {
    const { doorId, doorName, siteId, siteName } = door;
    return { doorId, doorName, siteId, siteName, trend: trendOf(door, faults.get(doorId) ?? [], lines.get(doorId) ?? null) };
  });
  const rank = { worse: 0, steady: 1, better: 2, 'too-little': 3 };
  judged.sort((a, b) => rank[a.trend.verdict] - rank[b.trend.verdict] || (b.trend.laplace ?? 0) - (a.trend.laplace ?? 0));
  return { doors: judged, leftOut };
}

/** Which way the faults of one door go; without any: too little to say. */
export async function trendOfDoor(
  client: pg.ClientBase,
  wanted: DoorsWanted & { doorId: [string] },
  line: CycleLine | null,
  now: Date,
): Promise<FaultTrend> {
  const { doors } = await loadWatched(client, wanted, { now: now.getTime(), leastFaults: 0, most: 1 });
  const [door] = doors;
  if (door === undefined) return { ...nothing, unit: line === null ? 'days' : 'cycles' };
  const faults = await loadFaultsOf(client, wanted.doorId);
  return trendOf(door, faults.get(door.doorId) ?? [], line);
}

const nothing: FaultTrend = {
  verdict: 'too-little', events: 0, laplace: null, pValue: null, shape: null, intensityScale: null, unit: 'days', watchedFrom: null,
  watchedTo: null,
};

/** The verdict on one door: over its cycles where they are known, else over days. */
export function trendOf(door: WatchedDoor, faults: readonly DatedFault[], line: CycleLine | null): FaultTrend {
  const watched = { watchedFrom: new Date(door.from).toISOString(), watchedTo: new Date(door.to).toISOString() };
  const inCycles = line === null ? null : historyIn(door, faults, line);
  const history = inCycles ?? historyIn(door, faults, (at) => at / DAY_MS);
  const unit = inCycles === null ? 'days' : 'cycles';
  return history === null ? { ...nothing, unit, ...watched } : { ...repairTrend([history]), unit, ...watched };
}

/** Ages at the faults since watching began; null where the door has not aged since. */
function historyIn(door: WatchedDoor, faults: readonly DatedFault[], ageAt: CycleLine): RepairHistory | null {
  const begin = ageAt(door.from);
  const end = ageAt(door.to) - begin;
  if (!(end > 0)) return null;
  const events = faults
    .filter(({ at }) => at > door.from && at <= door.to)
    .map(({ at }) => Math.min(end, Math.max(end * LEAST_SHARE, ageAt(at) - begin)));
  return { events, end };
}

/** Mean number of faults of a door against the days that it was watched, for a pool of doors. */
export async function faultCourse(client: pg.ClientBase, wanted: FaultPoolQuery, now: Date): Promise<FaultCourse> {
  const { doors } = await loadWatched(client, wanted, { now: now.getTime(), leastFaults: 0, most: mostPoolDoors });
  const faults = await loadFaultsOf(client, doors.map(({ doorId }) => doorId));
  const histories = doors.flatMap((door) => historyIn(door, faults.get(door.doorId) ?? [], (at) => at / DAY_MS) ?? []);
  const { age, atRisk, mean, low, high } = meanCumulative(histories);
  const every = Math.ceil(age.length / MOST_STEPS) || 1;
  const steps: FaultCourse['steps'] = [];
  for (let i = 0; i < age.length; i++) {
    if (i % every !== 0 && i !== age.length - 1) continue;
    steps.push({ age: age[i]!, atRisk: atRisk[i]!, mean: mean[i]!, low: low[i]!, high: high[i]! });
  }
  const trend = repairTrend(histories);
  return { doors: histories.length, faults: trend.events, unit: 'days', steps, trend: { ...trend, unit: 'days' } };
}
