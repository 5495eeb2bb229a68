import { faultKindOfPart, type DoorFaults, type FaultKind, type PartKind } from '@lintel/contract';
import type pg from 'pg';
import type { CompanyContext } from '../context.js';
import { loadCycleLines, type CycleLine } from './cycleLines.js';
import { CORRECTIVE } from './faultRepairs.js';
import { trendOfDoor } from './faultTrends.js';

/** A timeline shows no more; the latest of them. */
const MOST_FAULTS = 500;

/** What one door reported, over its counter, and what was repaired. Null where the door cannot be seen. */
export async function doorFaults(client: pg.ClientBase, context: CompanyContext, doorId: string, now: Date): Promise<DoorFaults | null> {
  const { rowCount } = await client.query('SELECT 1 FROM door WHERE id = $1', [doorId]);
  if (rowCount === 0) return null;
  const line = (await loadCycleLines(client, context.companyId, [doorId], now)).get(doorId) ?? null;
  const { faults, leftOut } = await loadTimeline(client, doorId, line);
  return {
    trend: await trendOfDoor(client, { doorId: [doorId] }, line, now),
    faults,
    repairs: await loadRepairs(client, doorId, line),
    now: { at: now.toISOString(), cycles: rounded(line, now.getTime()) },
    leftOut,
  };
}

const rounded = (line: CycleLine | null, at: number): number | null => (line === null ? null : Math.round(line(at)));

interface FaultRow {
  id: string;
  at: number;
  lifetimeCycles: number | null;
  faultCodeId: string;
  code: string;
  codeName: string;
  kind: FaultKind;
  note: string | null;
  found: number;
}

async function loadTimeline(client: pg.ClientBase, doorId: string, line: CycleLine | null): Promise<Pick<DoorFaults, 'faults' | 'leftOut'>> {
  const { rows } = await client.query<FaultRow>(
    `SELECT f.id, date_part('epoch', f.at) * 1000 AS at, f.lifetime_cycles::float8 AS "lifetimeCycles", f.fault_code_id AS "faultCodeId",
       c.code, c.name AS "codeName", replace(c.kind::text, '_', '-') AS kind, f.note, (count(*) OVER ())::int AS found
     FROM fault f JOIN fault_code c ON c.company_id = f.company_id AND c.id = f.fault_code_id
     WHERE f.door_id = $1 ORDER BY f.at DESC, f.id DESC LIMIT $2`,
    [doorId, MOST_FAULTS],
  );
  const faults = rows.toReversed().map(({ at, lifetimeCycles, found: _found, ...fault }) => ({
    ...fault, at: new Date(at).toISOString(), cycles: lifetimeCycles ?? rounded(line, at),
  }));
  return { faults, leftOut: (rows[0]?.found ?? 0) - rows.length };
}

async function loadRepairs(client: pg.ClientBase, doorId: string, line: CycleLine | null): Promise<DoorFaults['repairs']> {
  const { rows } = await client.query<{ at: number; cycles: number | null; partName: string; kind: PartKind }>(
    `SELECT date_part('epoch', r.removed_at) * 1000 AS at, r.removed_cycles::float8 AS cycles, p.name AS "partName", p.kind
     FROM fitted_part r JOIN position p ON p.company_id = r.company_id AND p.id = r.position_id
     WHERE r.door_id = $1 AND r.removal_reason IN ${CORRECTIVE} ORDER BY r.removed_at DESC, r.id LIMIT $2`,
    [doorId, MOST_FAULTS],
  );
  return rows.toReversed().map(({ at, cycles, partName, kind }) => ({
    at: new Date(at).toISOString(), cycles: cycles ?? rounded(line, at), partName, kind: faultKindOfPart[kind],
  }));
}
