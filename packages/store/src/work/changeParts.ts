import type { PartFitted, PartRemoved } from '@lintel/engine';
import type pg from 'pg';
import { newId } from '../context.js';

export interface PartChange {
  orderId: string;
  orderNumber: number;
  doorId: string;
  positionId: string;
  atMs: number;
  removed?: PartRemoved;
  fitted?: PartFitted;
}

/**
 * Ends the life of what was fitted in each position, with its reason, and begins that of what came in its place. A part for
 * which no reason was given counts as replaced in good time: its life then says only that it lasted so long. A part
 * that was fitted after the instant (a device's clock) ends at its fitting.
 * @returns the kinds of parts whose lives changed.
 */
export async function changeParts(client: pg.ClientBase, companyId: string, changes: readonly PartChange[]): Promise<string[]> {
  const kinds = new Set<string>();
  for (const change of changes) {
    const { doorId, positionId, removed, fitted } = change;
    const at = new Date(change.atMs);
    const note = `Work order ${change.orderNumber}`;
    await client.query(
      `UPDATE fitted_part SET removed_at = greatest($4, fitted_at), removal_reason = $5::"RemovalReason",
         serial = coalesce(serial, $6), note = concat_ws(E'\\n', note, $7::text), version = version + 1
       WHERE company_id = $1::uuid AND door_id = $2::uuid AND position_id = $3::uuid AND removed_at IS NULL`,
      [companyId, doorId, positionId, at, (removed?.reason ?? 'preventive').replaceAll('-', '_'), removed?.serial ?? null,
        removed === undefined ? `${note}: no reason given` : note],
    );
    if (fitted !== undefined) {
      await client.query(
        `INSERT INTO fitted_part (company_id, id, door_id, position_id, serial, fitted_at, age_at_fitting, note)
         VALUES ($1::uuid, $2::uuid, $3::uuid, $4::uuid, $5, $6, $7, $8)`,
        [companyId, newId(), doorId, positionId, fitted.serial ?? null, at, fitted.ageCycles ?? 0, note],
      );
    }
    const { rows } = await client.query<{ kind: string }>('SELECT kind FROM position WHERE company_id = $1::uuid AND id = $2::uuid', [companyId, positionId]);
    for (const { kind } of rows) kinds.add(kind);
  }
  return [...kinds];
}
