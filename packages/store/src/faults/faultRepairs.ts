import { faultKindOfPart, repairWithinDays, repeatDays, summaryLines, type FaultSummary } from '@lintel/contract';
import { repeatFaults } from '@lintel/engine';
import type pg from 'pg';
import { placeCondition, type DoorsWanted } from './faultDoors.js';

/** Removals after which something was wrong with the part; others are no repair. */
export const CORRECTIVE = `('failed', 'worn', 'damaged')`;

/** Part kinds with the fault kind that each is filed under, as two arrays in the words of the database. */
export const partKindArrays = (): [parts: string[], faults: string[]] => [
  Object.keys(faultKindOfPart),
  Object.values(faultKindOfPart).map((kind) => kind.replaceAll('-', '_')),
];

export interface RepairsWanted extends DoorsWanted {
  faultCodeId?: string[] | undefined;
  /** In the words of the contract. */
  kind?: string[] | undefined;
  from: Date;
  to: Date;
}

interface Repair {
  doorId: string;
  doorName: string;
  siteName: string;
  faultCodeId: string;
  code: string;
  codeName: string;
  partName: string;
  at: number;
}

/**
 * After which repairs has the fault come back? A repair is the change of a part that failed, wore out or was damaged, within
 * some days after a fault of its kind on that door; it counts for the latest code of those.
 */
export async function faultRepeats(client: pg.ClientBase, wanted: RepairsWanted, now: Date): Promise<FaultSummary['repeats']> {
  const repairs = await loadRepairs(client, wanted);
  const faults = await loadLater(client, repairs);
  const answer = repeatFaults(faults, repairs.map(({ doorId, faultCodeId, at }) => ({ door: doorId, code: faultCodeId, at })), now.getTime(), repeatDays);
  const lines = repairs.flatMap((repair, index) => {
    if (answer.outcome[index] !== 'repeated') return [];
    const again = faults.find(({ door, code, at }) => door === repair.doorId && code === repair.faultCodeId && at > repair.at)!;
    const { doorId, doorName, siteName, code, codeName, partName, at } = repair;
    return [{ doorId, doorName, siteName, code, codeName, partName, repairedAt: new Date(at).toISOString(), againAt: new Date(again.at).toISOString() }];
  });
  lines.sort((a, b) => (a.againAt < b.againAt ? 1 : -1));
  const { judged, repeated, share } = answer;
  return { withinDays: repeatDays, repairs: repairs.length, judged, repeated, share, lines: lines.slice(0, summaryLines) };
}

async function loadRepairs(client: pg.ClientBase, wanted: RepairsWanted): Promise<Repair[]> {
  const places = placeCondition(wanted, 8);
  const { rows } = await client.query<Repair>(
    `SELECT d.id AS "doorId", d.name AS "doorName", s.name AS "siteName", c.id AS "faultCodeId", c.code, c.name AS "codeName",
       p.name AS "partName", date_part('epoch', r.removed_at) * 1000 AS at
     FROM fitted_part r
     JOIN position p ON p.company_id = r.company_id AND p.id = r.position_id
     JOIN unnest($1::text[], $2::text[]) AS k(part, fault) ON k.part = p.kind
     JOIN door d ON d.company_id = r.company_id AND d.id = r.door_id
     JOIN site s ON s.company_id = d.company_id AND s.id = d.site_id
     CROSS JOIN LATERAL (
       SELECT c.id, c.code, c.name, c.kind FROM fault f JOIN fault_code c ON c.company_id = f.company_id AND c.id = f.fault_code_id
       WHERE f.door_id = r.door_id AND c.kind = k.fault::"FaultKind" AND f.at <= r.removed_at
         AND f.at > r.removed_at - make_interval(days => $3::int)
       ORDER BY f.at DESC, f.id DESC LIMIT 1) c
     WHERE r.removal_reason IN ${CORRECTIVE} AND r.removed_at >= $4::timestamptz AND r.removed_at <= $5::timestamptz
       AND ($6::uuid[] IS NULL OR c.id = ANY ($6::uuid[])) AND ($7::text[] IS NULL OR c.kind::text = ANY ($7::text[]))
       AND ${places.text}
     ORDER BY r.removed_at, r.id`,
    [...partKindArrays(), repairWithinDays, wanted.from.toISOString(), wanted.to.toISOString(), wanted.faultCodeId ?? null,
      wanted.kind?.map((kind) => kind.replaceAll('-', '_')) ?? null, ...places.values],
  );
  return rows;
}

/** The faults of the repaired doors from the first repair on, oldest first. */
async function loadLater(client: pg.ClientBase, repairs: readonly Repair[]): Promise<{ door: string; code: string; at: number }[]> {
  if (repairs.length === 0) return [];
  const { rows } = await client.query<{ door: string; code: string; at: number }>(
    `SELECT door_id AS door, fault_code_id AS code, date_part('epoch', at) * 1000 AS at FROM fault
     WHERE door_id = ANY ($1::uuid[]) AND at > $2::timestamptz ORDER BY at, id`,
    [[...new Set(repairs.map(({ doorId }) => doorId))], new Date(repairs[0]!.at).toISOString()],
  );
  return rows;
}
