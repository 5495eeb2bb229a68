import type pg from 'pg';
import type { CompanyContext } from '../context.js';

export interface KnownPosition {
  id: string;
  name: string;
  kind: string;
}

/** A fitted part; instants in milliseconds since 1970-01-01T00:00Z, the reason in the words of the contract. */
export interface PartRow {
  id: string;
  doorId: string;
  positionId: string;
  fittedAt: number;
  serial: string | null;
  fittedCycles: number | null;
  ageAtFitting: number;
  removedAt: number | null;
  removedCycles: number | null;
  removalReason: string | null;
  note: string | null;
  /** Only taken to be there since the door's first day: nothing else is known of it. */
  presumed: boolean;
}

/** Positions by door type. */
export async function loadPositions(client: pg.ClientBase): Promise<Map<string, KnownPosition[]>> {
  const { rows } = await client.query<KnownPosition & { doorTypeId: string }>(
    'SELECT id, name, kind, door_type_id AS "doorTypeId" FROM position WHERE archived_at IS NULL',
  );
  return grouped(rows, (row) => row.doorTypeId);
}

/** Parts of some doors, by door id and position id. */
export async function loadParts(client: pg.ClientBase, doorIds: readonly string[]): Promise<Map<string, PartRow[]>> {
  const { rows } = await client.query<PartRow>(
    `SELECT id, door_id AS "doorId", position_id AS "positionId", serial, note,
       (extract(epoch FROM fitted_at) * 1000)::float8 AS "fittedAt", fitted_cycles::float8 AS "fittedCycles",
       age_at_fitting::float8 AS "ageAtFitting", (extract(epoch FROM removed_at) * 1000)::float8 AS "removedAt",
       removed_cycles::float8 AS "removedCycles", replace(removal_reason::text, '_', '-') AS "removalReason",
       removed_at IS NULL AND serial IS NULL AND note IS NULL AND age_at_fitting = 0 AND EXISTS (SELECT FROM counter c
         WHERE c.company_id = fitted_part.company_id AND c.door_id = fitted_part.door_id AND c.fitted_at = fitted_part.fitted_at
         AND c.start_cycles = fitted_part.fitted_cycles) AS presumed
     FROM fitted_part WHERE door_id = ANY($1::uuid[])`,
    [doorIds],
  );
  return grouped(rows, (row) => `${row.doorId}\u0000${row.positionId}`);
}

export async function insertParts(client: pg.ClientBase, context: CompanyContext, parts: readonly PartRow[]): Promise<void> {
  if (parts.length === 0) return;
  await client.query(
    `INSERT INTO fitted_part (company_id, id, door_id, position_id, fitted_at, serial, fitted_cycles, age_at_fitting, removed_at,
       removed_cycles, removal_reason, note)
     SELECT $1::uuid, p.id, p.door_id, p.position_id, p.fitted_at, p.serial, p.fitted_cycles, p.age_at_fitting, p.removed_at,
       p.removed_cycles, p.removal_reason::"RemovalReason", p.note
     FROM ${PARTS}`,
    [context.companyId, ...columnsOf(parts)],
  );
}

export async function updateParts(client: pg.ClientBase, context: CompanyContext, parts: readonly PartRow[]): Promise<void> {
  if (parts.length === 0) return;
  await client.query(
    `UPDATE fitted_part SET serial = p.serial, fitted_cycles = p.fitted_cycles, age_at_fitting = p.age_at_fitting,
       removed_at = p.removed_at, removed_cycles = p.removed_cycles, removal_reason = p.removal_reason::"RemovalReason",
       note = p.note, version = fitted_part.version + 1
     FROM ${PARTS}
     WHERE fitted_part.company_id = $1::uuid AND fitted_part.id = p.id`,
    [context.companyId, ...columnsOf(parts)],
  );
}

const PARTS = `unnest($2::uuid[], $3::uuid[], $4::uuid[], $5::timestamptz[], $6::text[], $7::bigint[], $8::bigint[],
  $9::timestamptz[], $10::bigint[], $11::text[], $12::text[]) AS p(id, door_id, position_id, fitted_at, serial, fitted_cycles,
  age_at_fitting, removed_at, removed_cycles, removal_reason, note)`;

function columnsOf(parts: readonly PartRow[]): unknown[][] {
  const instant = (milliseconds: number | null): string | null =>
    milliseconds === null ? null : new Date(milliseconds).toISOString();
  return [
    parts.map((part) => part.id),
    parts.map((part) => part.doorId),
    parts.map((part) => part.positionId),
    parts.map((part) => instant(part.fittedAt)),
    parts.map((part) => part.serial),
    parts.map((part) => part.fittedCycles),
    parts.map((part) => part.ageAtFitting),
    parts.map((part) => instant(part.removedAt)),
    parts.map((part) => part.removedCycles),
    parts.map((part) => part.removalReason?.replaceAll('-', '_') ?? null),
    parts.map((part) => part.note),
  ];
}

function grouped<Row>(rows: readonly Row[], keyOf: (row: Row) => string): Map<string, Row[]> {
  const groups = new Map<string, Row[]>();
  for (const row of rows) {
    const group = groups.get(keyOf(row));
    if (group === undefined) groups.set(keyOf(row), [row]);
    else group.push(row);
  }
  return groups;
}
