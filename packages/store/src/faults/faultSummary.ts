import { summaryLines, usualFaultDays, type FaultKind, type FaultRate, type FaultSummary, type FaultSummaryQuery } from '@lintel/contract';
import { eventRate, pareto } from '@lintel/engine';
import type pg from 'pg';
import { placeCondition } from './faultDoors.js';
import { faultRepeats } from './faultRepairs.js';

const DAY_MS = 86_400_000;

interface CountedDoor {
  doorId: string;
  doorName: string;
  siteId: string;
  siteName: string;
  doorTypeId: string;
  doorTypeName: string;
  /** Over the time that is looked at. */
  cycles: number;
}

type DoorKey = 'doorId' | 'siteId' | 'doorTypeId';

interface CountedFaults {
  doorId: string;
  faultCodeId: string;
  code: string;
  codeName: string;
  kind: FaultKind;
  count: number;
}

/** Faults of a time: what, where, how often for the cycles made, and what came back after a repair. */
export async function faultSummary(client: pg.ClientBase, query: FaultSummaryQuery, now: Date): Promise<FaultSummary> {
  const to = query.atTo === undefined ? now : new Date(query.atTo);
  const from = query.atFrom === undefined ? new Date(to.getTime() - usualFaultDays * DAY_MS) : new Date(query.atFrom);
  const doors = await loadDoors(client, query, from, to);
  const counted = await loadCounts(client, query, from, to);
  const byId = new Map(doors.map((door) => [door.doorId, door]));
  const cycles = sum(doors, (door) => door.cycles);
  const faults = sum(counted, ({ count }) => count);
  const by = (key: DoorKey) => barsBy(counted, (line) => byId.get(line.doorId)![key], cyclesBy(doors, key));
  const codes = new Map(counted.map(({ faultCodeId, code, codeName, kind }) => [faultCodeId, { faultCodeId, code, codeName, kind }]));
  const sites = new Map(doors.map(({ siteId, siteName }) => [siteId, { siteId, siteName }]));
  const types = new Map(doors.map(({ doorTypeId, doorTypeName }) => [doorTypeId, { doorTypeId, doorTypeName }]));
  return {
    from: from.toISOString(),
    to: to.toISOString(),
    faults,
    doors: doors.length,
    doorsWithFaults: new Set(counted.map(({ doorId }) => doorId)).size,
    cycles,
    rate: rateOf(faults, cycles),
    byCode: barsBy(counted, (line) => line.faultCodeId, () => cycles).map(({ key, ...bar }) => ({ ...codes.get(key)!, ...bar })),
    byKind: barsBy(counted, (line) => line.kind, () => cycles).map(({ key, ...bar }) => ({ kind: key as FaultKind, ...bar })),
    bySite: by('siteId').map(({ key, ...bar }) => ({ ...sites.get(key)!, ...bar })),
    byDoorType: by('doorTypeId').map(({ key, ...bar }) => ({ ...types.get(key)!, ...bar })),
    byDoor: by('doorId').map(({ key, ...bar }) => {
      const { doorId, doorName, siteId, siteName } = byId.get(key)!;
      return { doorId, doorName, siteId, siteName, ...bar };
    }),
    repeats: await faultRepeats(client, { ...query, from, to }, now),
  };
}

type Bar = FaultSummary['byKind'][number];

/** The tallest bars, with the rate of each over its own cycles. */
function barsBy(
  counted: readonly CountedFaults[],
  keyOf: (line: CountedFaults) => string,
  cyclesOf: (key: string) => number,
): (Omit<Bar, 'kind'> & { key: string })[] {
  function* keys(): Generator<string> {
    for (const line of counted) for (let n = 0; n < line.count; n++) yield keyOf(line);
  }
  return pareto(keys()).slice(0, summaryLines).map((bar) => ({ ...bar, rate: rateOf(bar.count, cyclesOf(bar.key)) }));
}

function cyclesBy(doors: readonly CountedDoor[], key: DoorKey): (of: string) => number {
  const cycles = new Map<string, number>();
  for (const door of doors) cycles.set(door[key], (cycles.get(door[key]) ?? 0) + door.cycles);
  return (of) => cycles.get(of) ?? 0;
}

function rateOf(faults: number, cycles: number): FaultRate {
  if (!(cycles > 0)) return null;
  const { rate, interval } = eventRate(faults, cycles / 1000);
  return { per1000: rate, low: interval[0], high: interval[1] };
}

const sum = <T>(items: readonly T[], of: (item: T) => number): number => items.reduce((total, item) => total + of(item), 0);

/** Doors with the cycles that they made in a time: what they were observed to make a day, else what is expected, by the days in it. */
async function loadDoors(client: pg.ClientBase, query: FaultSummaryQuery, from: Date, to: Date): Promise<CountedDoor[]> {
  const places = placeCondition(query, 3);
  const { rows } = await client.query<CountedDoor>(
    `SELECT d.id AS "doorId", d.name AS "doorName", d.site_id AS "siteId", s.name AS "siteName", d.door_type_id AS "doorTypeId",
       t.name AS "doorTypeName", coalesce(
         CASE WHEN y.observed_days > 0 THEN y.observed_cycles / y.observed_days ELSE y.cycles_per_day END
         * greatest(0, date_part('epoch', least($2::timestamptz, CASE d.state WHEN 'decommissioned' THEN d.state_since END)
           - greatest($1::timestamptz, d.installed_on::timestamp AT TIME ZONE 'UTC'))) / 86400, 0)::float8 AS cycles
     FROM door d
     JOIN site s ON s.company_id = d.company_id AND s.id = d.site_id
     JOIN door_type t ON t.company_id = d.company_id AND t.id = d.door_type_id
     LEFT JOIN door_duty y ON y.company_id = d.company_id AND y.door_id = d.id
     WHERE ${places.text}`,
    [from.toISOString(), to.toISOString(), ...places.values],
  );
  return rows;
}

async function loadCounts(client: pg.ClientBase, query: FaultSummaryQuery, from: Date, to: Date): Promise<CountedFaults[]> {
  const places = placeCondition(query, 5);
  const { rows } = await client.query<CountedFaults>(
    `SELECT f.door_id AS "doorId", c.id AS "faultCodeId", c.code, c.name AS "codeName", replace(c.kind::text, '_', '-') AS kind,
       count(*)::int AS count
     FROM fault f
     JOIN fault_code c ON c.company_id = f.company_id AND c.id = f.fault_code_id
     JOIN door d ON d.company_id = f.company_id AND d.id = f.door_id
     JOIN site s ON s.company_id = d.company_id AND s.id = d.site_id
     WHERE f.at >= $1::timestamptz AND f.at <= $2::timestamptz AND ($3::uuid[] IS NULL OR c.id = ANY ($3::uuid[]))
       AND ($4::text[] IS NULL OR c.kind::text = ANY ($4::text[])) AND ${places.text}
     GROUP BY f.door_id, c.company_id, c.id`,
    [from.toISOString(), to.toISOString(), query.faultCodeId ?? null, query.kind?.map((kind) => kind.replaceAll('-', '_')) ?? null,
      ...places.values],
  );
  return rows;
}
