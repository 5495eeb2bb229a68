import { finding, workImage, workOrder, type WholeWorkOrder } from '@lintel/contract';
import type pg from 'pg';
import type { Reader } from '../platform/resource/reader.js';

export const columnsOf = (record: { shape: Record<string, unknown> }, of = ''): string => Object.keys(record.shape).map((field) => `${of}"${field}"`).join(', ');

const ORDERS = `SELECT ${columnsOf(workOrder, 'l.')}, o.steps, o.devices FROM work_order_list l JOIN work_order o ON o.id = l.id
  WHERE l.id = ANY ($1::uuid[]) ORDER BY l."plannedOn", l.number`;
const ANSWERS = `SELECT a.work_order_id AS "of", a.id, a.step AS "stepId", a.value, a.base_id AS "baseId", a.settles_id AS "settlesId", a.counts,
    a.account_id AS "accountId", p.name AS "accountName", a.at, a.device_at AS "deviceAt"
  FROM work_answer a LEFT JOIN account p ON p.company_id = a.company_id AND p.id = a.account_id
  WHERE a.work_order_id = ANY ($1::uuid[]) ORDER BY a.place`;
const CONFLICTS = `SELECT work_order_id AS "of", step AS "stepId", standing_id AS "standingId", contested_id AS "contestedId"
  FROM work_conflict WHERE work_order_id = ANY ($1::uuid[])`;
const FINDINGS = `SELECT "workOrderId" AS "of", ${columnsOf(finding)} FROM finding_list WHERE "workOrderId" = ANY ($1::uuid[]) ORDER BY "foundAt", id`;
const RETESTS = `SELECT r.work_order_id AS "of", ${columnsOf(finding, 'f.')} FROM work_retest r JOIN finding_list f ON f.id = r.finding_id
  WHERE r.work_order_id = ANY ($1::uuid[]) ORDER BY f."foundAt", f.id`;
const PUTS = `SELECT "correctiveId" AS "of", ${columnsOf(finding)} FROM finding_list WHERE "correctiveId" = ANY ($1::uuid[]) ORDER BY "foundAt", id`;
const IMAGES = `SELECT "workOrderId" AS "of", ${columnsOf(workImage)} FROM work_image_list WHERE "workOrderId" = ANY ($1::uuid[]) ORDER BY "takenAt", id`;
const SIGNATURES = `SELECT work_order_id AS "of", id, image_id AS "imageId", signer_name AS "signerName", at, device_at AS "deviceAt", account_id AS "accountId"
  FROM work_signature WHERE work_order_id = ANY ($1::uuid[]) ORDER BY at, id`;
const TIMES = `SELECT t.work_order_id AS "of", t.id, t.kind::text AS kind, t.minutes, t.started_at AS "startedAt", t.account_id AS "accountId", a.name AS "accountName"
  FROM work_time t LEFT JOIN account a ON a.company_id = t.company_id AND a.id = t.account_id
  WHERE t.work_order_id = ANY ($1::uuid[]) ORDER BY t.started_at, t.id`;
const PARTS = `SELECT work_order_id AS "of", id, kind, code, name, quantity, position_id AS "positionId"
  FROM work_part WHERE work_order_id = ANY ($1::uuid[]) ORDER BY id`;
const KEPT = `SELECT c.work_order_id AS "of", c.id, c.account_id AS "accountId", a.name AS "accountName", c.device, c.made_at AS "madeAt",
    c.received_at AS "receivedAt", c.outcome::text AS outcome, c.command, c.answer->'refusal' AS refusal
  FROM device_command c LEFT JOIN account a ON a.company_id = c.company_id AND a.id = c.account_id
  WHERE c.work_order_id = ANY ($1::uuid[]) AND c.outcome = 'refused' ORDER BY c.place`;

/** What hangs on an order, by the name of its list. */
const lists = {
  answers: ANSWERS, conflicts: CONFLICTS, findings: FINDINGS, retests: RETESTS, puts: PUTS, images: IMAGES, signatures: SIGNATURES,
  times: TIMES, usedParts: PARTS, keptWork: KEPT,
} as const;
type ListName = keyof typeof lists;

/** Orders with all that hangs on them, each kind read once for all of them; those that the caller cannot see are left out. */
export async function wholeOrders(client: pg.PoolClient, reader: Reader, ids: readonly string[]): Promise<WholeWorkOrder[]> {
  const orders = await reader.rows<Omit<WholeWorkOrder, ListName>>(client, { text: ORDERS, values: [ids] });
  const byOrder = new Map(orders.map((order): [string, WholeWorkOrder] => [order.id, {
    ...order, answers: [], conflicts: [], findings: [], retests: [], puts: [], images: [], signatures: [], times: [], usedParts: [], keptWork: [],
  }]));
  for (const [name, text] of Object.entries(lists)) {
    const rows = await reader.rows<{ of: string }>(client, { text, values: [[...byOrder.keys()]] });
    for (const { of, ...item } of rows) (byOrder.get(of)![name as ListName] as unknown[]).push(item);
  }
  return [...byOrder.values()];
}
