import type { CivilDate, Condition } from '@lintel/engine';
import type pg from 'pg';
import type { DueRow } from '../upkeep/projectUpkeep.js';
import type { PartRow } from '../wear/projectWear.js';
import { arrayLiteral, RowBatch } from './projectRows.js';

/** One line a door for lists. */
export interface OutlookRow {
  doorId: string;
  condition: Condition;
  worstPartId: string | null;
  chance90: number;
  nextDueOn: CivilDate | null;
  nextTaskId: string | null;
  safetyLatestOn: CivilDate | null;
}

const badness: Record<Condition, number> = { unknown: 0, sound: 1, wearing: 2, worn: 3 };

/** The worst of a door's parts, and what is due first. On a tie the safety inspection is named, then the lower id. */
export function outlookRowOf(doorId: string, parts: readonly PartRow[], items: readonly DueRow[]): OutlookRow {
  let condition: Condition = 'unknown';
  let worst: PartRow | null = null;
  for (const part of parts) {
    if (badness[part.outlook.condition] > badness[condition]) condition = part.outlook.condition;
    if (worst === null || part.outlook.chance90 > worst.outlook.chance90) worst = part;
  }
  let next: DueRow | null = null;
  let safetyLatestOn: CivilDate | null = null;
  for (const item of items) {
    if (next === null || item.due < next.due || (item.due === next.due && item.safety && !next.safety)) next = item;
    if (item.safety && (safetyLatestOn === null || item.latest < safetyLatestOn)) safetyLatestOn = item.latest;
  }
  return {
    doorId,
    condition,
    worstPartId: worst?.partId ?? null,
    chance90: worst?.outlook.chance90 ?? 0,
    nextDueOn: next?.due ?? null,
    nextTaskId: next?.taskId ?? null,
    safetyLatestOn,
  };
}

/** What is kept for lists of doors. */
export const outlookBatch = (): RowBatch =>
  new RowBatch('door_outlook', ['door_id'], {
    door_id: 'uuid',
    condition: '"Condition"',
    worst_part_id: 'uuid',
    chance_90: 'float8',
    next_due_on: 'date',
    next_task_id: 'uuid',
    safety_latest_on: 'date',
    projected_at: 'timestamptz',
  });

export function addOutlook(batch: RowBatch, row: OutlookRow, projectedAt: string): void {
  const { doorId, condition, worstPartId, chance90, nextDueOn, nextTaskId, safetyLatestOn } = row;
  batch.add(doorId, condition, worstPartId, chance90, nextDueOn, nextTaskId, safetyLatestOn, projectedAt);
}

/** A decommissioned door has no future: nothing is due on it and nothing is said of its parts. Its history stays. */
export async function forgetOutlooks(client: pg.ClientBase, companyId: string, doorIds: readonly string[]): Promise<void> {
  if (doorIds.length === 0) return;
  for (const table of ['door_outlook', 'part_outlook', 'due_item']) {
    await client.query(`DELETE FROM ${table} WHERE company_id = $1::uuid AND door_id = ANY ($2::uuid[])`, [companyId, arrayLiteral(doorIds)]);
  }
}
