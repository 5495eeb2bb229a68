import type { FaultPoolQuery } from '@lintel/contract';
import type pg from 'pg';

/** Which doors are looked at; each list means any of its ids, and left out: all. */
export interface DoorsWanted extends FaultPoolQuery {
  doorId?: string[] | undefined;
}

/** Condition on a door `d` and its site `s`, with its values from `$first` on. */
export function placeCondition(wanted: DoorsWanted, first: number): { text: string; values: string[][] } {
  const columns = { doorId: 'd.id', siteId: 'd.site_id', doorTypeId: 'd.door_type_id', ownerId: 's.owner_id' } as const;
  const parts: string[] = [];
  const values: string[][] = [];
  for (const [field, column] of Object.entries(columns)) {
    const ids = wanted[field as keyof typeof columns];
    if (ids === undefined) continue;
    parts.push(`${column} = ANY ($${first + values.length}::uuid[])`);
    values.push(ids);
  }
  return { text: parts.length === 0 ? 'true' : parts.join(' AND '), values };
}

/** A door whose faults are recorded, and for how long: instants in milliseconds. */
export interface WatchedDoor {
  doorId: string;
  doorName: string;
  siteId: string;
  siteName: string;
  installedMs: number;
  from: number;
  to: number;
  faults: number;
}

/**
 * Doors and the time over which their faults are recorded: from a door's installation or, later, from the first fault recorded at
 * its site (who records one records them all), until now or its decommissioning. The first fault of the site is where watching
 * begins and no evidence of a trend, so it is left out of the count, and of every history that starts there. Doors of sites
 * without a fault are not watched.
 * @param most doors at most, those with most faults first.
 */
export async function loadWatched(
  client: pg.ClientBase,
  wanted: DoorsWanted,
  options: { now: number; leastFaults: number; most: number },
): Promise<{ doors: WatchedDoor[]; leftOut: number }> {
  const places = placeCondition(wanted, 4);
  const { rows } = await client.query<WatchedDoor & { found: number }>(
    `WITH began AS (
       SELECT d.site_id, min(f.at) AS at FROM fault f JOIN door d ON d.company_id = f.company_id AND d.id = f.door_id GROUP BY d.site_id
     ), watched AS (
       SELECT d.id, d.name, d.site_id, s.name AS site_name, d.installed_on::timestamp AT TIME ZONE 'UTC' AS installed,
         greatest(b.at, d.installed_on::timestamp AT TIME ZONE 'UTC') AS since,
         CASE d.state WHEN 'decommissioned' THEN least(d.state_since, $1::timestamptz) ELSE $1::timestamptz END AS until
       FROM door d JOIN site s ON s.company_id = d.company_id AND s.id = d.site_id JOIN began b ON b.site_id = d.site_id
       WHERE ${places.text}
     ), counted AS (
       SELECT w.*, (SELECT count(*)::int FROM fault f WHERE f.door_id = w.id AND f.at > w.since AND f.at <= w.until) AS faults
       FROM watched w WHERE w.until > w.since
     )
     SELECT id AS "doorId", name AS "doorName", site_id AS "siteId", site_name AS "siteName", faults,
       date_part('epoch', installed) * 1000 AS "installedMs", date_part('epoch', since) * 1000 AS "from",
       date_part('epoch', until) * 1000 AS "to", (count(*) OVER ())::int AS found
     FROM counted WHERE faults >= $2::int ORDER BY faults DESC, id LIMIT $3::int`,
    [new Date(options.now).toISOString(), options.leastFaults, options.most, ...places.values],
  );
  const leftOut = (rows[0]?.found ?? 0) - rows.length;
  return { doors: rows.map(({ found: _found, ...door }) => door), leftOut };
}

export interface DatedFault {
  at: number;
  lifetimeCycles: number | null;
}

/** The faults of some doors, by door, oldest first. */
export async function loadFaultsOf(client: pg.ClientBase, doorIds: readonly string[]): Promise<Map<string, DatedFault[]>> {
  const { rows } = await client.query<DatedFault & { doorId: string }>(
    `SELECT door_id AS "doorId", date_part('epoch', at) * 1000 AS at, lifetime_cycles::float8 AS "lifetimeCycles"
     FROM fault WHERE door_id = ANY ($1::uuid[]) ORDER BY door_id, at, id`,
    [doorIds],
  );
  const byDoor = new Map<string, DatedFault[]>();
  for (const { doorId, ...fault } of rows) {
    const known = byDoor.get(doorId);
    if (known === undefined) byDoor.set(doorId, [fault]);
    else known.push(fault);
  }
  return byDoor;
}
