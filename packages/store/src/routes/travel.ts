import { estimatedTravel } from '@lintel/engine';
import type { CompanyContext, Store } from '../context.js';
import type { PlanPlace, TravelMatrix } from './planTypes.js';
import { askTravelServer, type ServerLeg } from './travelServer.js';

/** Roads change: what a server answered is asked again after so many days. */
const KEPT_DAYS = 180;

export interface TravelOptions {
  speedKmh: number;
  detourFactor: number;
  /** Address of a routing server; none: what no list knows is estimated. */
  travelUrl: string | null;
  timeoutMs?: number;
}

/**
 * Travel between all places of a plan: as the company's own list says, else as the routing server answered, else by great
 * circle, detour and speed. A server that fails is noted and does not stop the plan.
 */
export async function travelMatrix(store: Store, context: CompanyContext, places: readonly PlanPlace[], options: TravelOptions): Promise<TravelMatrix> {
  const matrix: TravelMatrix = { minutes: square(places.length), km: square(places.length), notices: [] };
  const known = places.map(() => new Set<number>());
  const put = ({ from, to, minutes, km }: ServerLeg): void => {
    matrix.minutes[from]![to] = rounded(minutes);
    matrix.km[from]![to] = rounded(km);
    known[from]!.add(to);
  };
  places.forEach((_, at) => put({ from: at, to: at, minutes: 0, km: 0 }));
  if (options.travelUrl !== null) await fromServer(store, context, places, { ...options, travelUrl: options.travelUrl, put, matrix });
  for (const leg of await givenLegs(store, context, places)) {
    put({ ...leg, km: leg.km ?? estimatedTravel(places[leg.from]!, places[leg.to]!, options).km });
  }
  let estimated = 0;
  places.forEach((from, row) => places.forEach((to, column) => {
    if (known[row]!.has(column)) return;
    put({ from: row, to: column, ...estimatedTravel(from, to, options) });
    estimated += 1;
  }));
  if (estimated > 0) matrix.notices.push({ code: 'travel-estimated', facts: { legs: estimated, speedKmh: options.speedKmh, detourFactor: options.detourFactor } });
  return matrix;
}

const square = (size: number): number[][] => Array.from({ length: size }, () => new Array<number>(size).fill(0));
const rounded = (value: number): number => Math.round(value * 100) / 100;
const key = (place: PlanPlace): string => `${place.latitude.toFixed(5)}/${place.longitude.toFixed(5)}`;

interface ServerWork extends TravelOptions {
  travelUrl: string;
  put: (leg: ServerLeg) => void;
  matrix: TravelMatrix;
}

async function fromServer(store: Store, context: CompanyContext, places: readonly PlanPlace[], work: ServerWork): Promise<void> {
  const cached = await keptLegs(store, context, places);
  for (const leg of cached) work.put(leg);
  const reached = new Set(cached.map(({ from, to }) => `${from}/${to}`));
  const missing = places.filter((_, from) => places.some((__, to) => from !== to && !reached.has(`${from}/${to}`)));
  if (missing.length === 0) return;
  const index = missing.map((place) => places.indexOf(place));
  try {
    const legs = await askTravelServer(work.travelUrl, missing, work.timeoutMs);
    const mine = legs.map((leg) => ({ ...leg, from: index[leg.from]!, to: index[leg.to]! })).filter(({ from, to }) => from !== to);
    for (const leg of mine) work.put(leg);
    await keepLegs(store, context, places, mine);
  } catch (error) {
    const reason = error instanceof Error ? error.message : String(error);
    work.matrix.notices.push({ code: 'travel-server-failed', facts: { reason: reason.slice(0, 200) } });
  }
}

async function keptLegs(store: Store, context: CompanyContext, places: readonly PlanPlace[]): Promise<ServerLeg[]> {
  const { rows } = await store.withCompanySql(context, (client) =>
    client.query<{ a: string; b: string; minutes: number; km: number }>(
      `SELECT from_latitude || '/' || from_longitude AS a, to_latitude || '/' || to_longitude AS b, minutes, km FROM travel_leg
       WHERE company_id = $1 AND asked_at > now() - make_interval(days => $2) AND from_latitude = ANY ($3::numeric[])`,
      [context.companyId, KEPT_DAYS, places.map(({ latitude }) => latitude.toFixed(5))],
    ),
  );
  const at = new Map<string, number[]>();
  places.forEach((place, index) => at.set(key(place), [...(at.get(key(place)) ?? []), index]));
  return rows.flatMap(({ a, b, minutes, km }) =>
    (at.get(a) ?? []).flatMap((from) => (at.get(b) ?? []).filter((to) => to !== from).map((to) => ({ from, to, minutes, km }))),
  );
}

async function keepLegs(store: Store, context: CompanyContext, places: readonly PlanPlace[], legs: readonly ServerLeg[]): Promise<void> {
  const column = (pick: (leg: ServerLeg) => number) => legs.map(pick);
  await store.withCompanySql(context, (client) =>
    client.query(
      `INSERT INTO travel_leg (company_id, from_latitude, from_longitude, to_latitude, to_longitude, minutes, km, asked_at)
       SELECT DISTINCT ON (a, b, c, d) $1::uuid, a, b, c, d, m, k, now()
       FROM unnest($2::numeric(8,5)[], $3::numeric(8,5)[], $4::numeric(8,5)[], $5::numeric(8,5)[], $6::float8[], $7::float8[]) AS l(a, b, c, d, m, k)
       ON CONFLICT (company_id, from_latitude, from_longitude, to_latitude, to_longitude)
       DO UPDATE SET minutes = excluded.minutes, km = excluded.km, asked_at = excluded.asked_at`,
      [context.companyId, column(({ from }) => places[from]!.latitude), column(({ from }) => places[from]!.longitude),
        column(({ to }) => places[to]!.latitude), column(({ to }) => places[to]!.longitude), column(({ minutes }) => minutes), column(({ km }) => km)],
    ),
  );
}

type GivenLeg = Omit<ServerLeg, 'km'> & { km: number | null };

async function givenLegs(store: Store, context: CompanyContext, places: readonly PlanPlace[]): Promise<GivenLeg[]> {
  const { rows } = await store.withCompanySql(context, (client) =>
    client.query<{ a: string; b: string; minutes: number; km: number | null }>(
      `SELECT coalesce(from_site_id, from_technician_id) AS a, coalesce(to_site_id, to_technician_id) AS b, minutes, km
       FROM travel_given WHERE company_id = $1`,
      [context.companyId],
    ),
  );
  const at = new Map(places.map((place, index) => [place.siteId ?? place.technicianId!, index]));
  return rows.flatMap(({ a, b, minutes, km }) => {
    const from = at.get(a);
    const to = at.get(b);
    return from === undefined || to === undefined || from === to ? [] : [{ from, to, minutes, km }];
  });
}
