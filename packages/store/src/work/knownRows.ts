import type { TechnicianCommand } from '@lintel/contract';
import type { CompetenceRecord, ForceGauge } from '@lintel/engine';
import type pg from 'pg';
import { competenceRecords } from '../safety/competenceRecords.js';
import { forceGauges } from '../safety/forceGauges.js';
import type { OrderState } from './orderState.js';

/** What of the database the rules have to know of the things that commands name. */
export interface KnownRows {
  /** Finding ids of the commands that are taken already. */
  findings: Set<string>;
  /** Image ids of the commands that are signatures here, with their order. */
  signatures: ReadonlyMap<string, string | null>;
  /** Kinds of part by position, of the positions that the orders and their commands name. */
  positions: ReadonlyMap<string, string>;
  /** The company's own force gauges by id, with the calibration that stands; where a command brings a force test. */
  gauges: ReadonlyMap<string, ForceGauge>;
  /** Everybody's competences; where a command completes an order. */
  competences: readonly CompetenceRecord[];
}

/** Looks all of it up at once for many commands, and nothing that none of them asks for. */
export async function loadKnownRows(
  client: pg.ClientBase, companyId: string, commands: readonly { understood: TechnicianCommand | null }[], orders: ReadonlyMap<string, OrderState>,
): Promise<KnownRows> {
  const understood = commands.flatMap(({ understood: one }) => (one === null ? [] : [one]));
  const findingIds = understood.flatMap((one) => (one.command === 'report' ? [one.finding.id] : []));
  const imageIds = understood.flatMap((one) => (one.command === 'sign' ? [one.imageId] : []));
  const measures = understood.some((one) => one.command === 'answer' && one.answer.kind === 'force-test');
  const completes = understood.some((one) => one.command === 'complete');
  const typeIds = [...new Set([...orders.values()].map(({ door }) => door.typeId))];
  const findings = findingIds.length === 0 ? [] : (await client.query<{ id: string }>(
    'SELECT id FROM finding WHERE company_id = $1::uuid AND id = ANY ($2::uuid[])', [companyId, findingIds])).rows;
  const images = imageIds.length === 0 ? [] : (await client.query<{ id: string; work_order_id: string | null }>(
    `SELECT id, work_order_id FROM work_image WHERE company_id = $1::uuid AND id = ANY ($2::uuid[]) AND kind = 'signature'`, [companyId, imageIds])).rows;
  const positions = await client.query<{ id: string; kind: string }>(
    'SELECT id, kind FROM position WHERE company_id = $1::uuid AND door_type_id = ANY ($2::uuid[])', [companyId, typeIds]);
  return {
    findings: new Set(findings.map(({ id }) => id)),
    signatures: new Map(images.map((row) => [row.id, row.work_order_id])),
    positions: new Map(positions.rows.map((row) => [row.id, row.kind])),
    gauges: new Map(measures ? (await forceGauges(client)).map(({ id, gauge }) => [id, gauge]) : []),
    competences: completes ? await competenceRecords(client) : [],
  };
}
