import { mostLogBookEntries, repairWithinDays, type LogBook, type LogBookEntry } from '@lintel/contract';
import { civilDateAt } from '@lintel/engine';
import type pg from 'pg';
import { partKindArrays } from '../faults/faultRepairs.js';
import { LOG_BOOK_SOURCES, type LogBookRow } from './logBookSources.js';

const HEAD = `SELECT c.name AS "companyName", jsonb_build_object('id', d.id, 'name', d.name, 'serial', d.serial, 'siteName', d."siteName", 'ownerName', d."ownerName",
    'timeZone', d."timeZone", 'doorTypeName', d."doorTypeName", 'kind', d.kind, 'heated', d.heated, 'fromZoneName', d."fromZoneName",
    'toZoneName', d."toZoneName", 'widthMm', d."widthMm", 'heightMm', d."heightMm", 'installedOn', d."installedOn", 'maker', d.maker, 'installer', d.installer, 'state', d.state,
    'stateReason', d."stateReason", 'lifetimeCycles', d."lifetimeCycles", 'notes', d.notes) AS door, d."stateSince" AS since,
  s.address, s.country_code AS "countryCode", t.supply_volts AS "supplyVolts", t.notes AS "doorTypeNotes",
  coalesce((SELECT jsonb_agg(jsonb_build_object('position', p.name, 'safetyDevice', p.safety_device, 'serial', f.serial,
      'fittedOn', (f.fitted_at AT TIME ZONE s.time_zone)::date) ORDER BY p.ordinal)
    FROM fitted_part f JOIN position p ON p.company_id = f.company_id AND p.id = f.position_id
    WHERE f.company_id = s.company_id AND f.door_id = d.id AND f.removed_at IS NULL), '[]') AS fitted
  FROM door_list d JOIN site s ON s.id = d."siteId" JOIN company c ON c.id = s.company_id
  JOIN door_type t ON t.company_id = s.company_id AND t.id = d."doorTypeId" WHERE d.id = $1`;

/**
 * The log book of a door: what it is, and in the order of time what was done to it. In a transaction of the company's own:
 * names of people and the ledger are not for a facility owner's eyes otherwise, so whoever asks for one has to see to it
 * beforehand that he may see the door. Of more than `most` entries the newest. Null where there is no such door.
 */
export async function doorLogBook(client: pg.ClientBase, doorId: string, most = mostLogBookEntries): Promise<LogBook | null> {
  const { rows: heads } = await client.query<Omit<LogBook, 'entries' | 'leftOut'> & { since: Date }>(HEAD, [doorId]);
  const [head] = heads;
  if (head === undefined) return null;
  const { since, ...book } = head;
  const values = [doorId, book.door.timeZone, ...partKindArrays(), repairWithinDays];
  const found: LogBookRow[] = [];
  for (const source of LOG_BOOK_SOURCES) found.push(...(await client.query<LogBookRow>(...used(source, values))).rows);
  found.sort((a, b) => a.at.getTime() - b.at.getTime() || order(a) - order(b) || (a.key < b.key ? -1 : 1));
  const entries = found.slice(-most).map((row) => entryOf(row, book.door.timeZone));
  return { ...book, door: { ...book.door, stateSince: since.toISOString() }, entries, leftOut: found.length - entries.length };
}

/** Of one instant: the installation before all else, and what came out before what went in. */
const order = ({ kind, key }: LogBookRow): number => (kind === 'installation' ? 0 : key.startsWith('counter-removal') ? 1 : 2);

/** PostgreSQL wants to be told a type of each parameter: those that a source does not use are named as such. */
function used(source: string, values: readonly unknown[]): [string, unknown[]] {
  const types = ['uuid', 'text', 'text[]', 'text[]', 'int'];
  const named = types.map((type, index) => `$${index + 1}::${type}`).join(', ');
  return [`SELECT s.* FROM (${source}) s WHERE (${named}) IS NOT DISTINCT FROM (${named})`, [...values]];
}

function entryOf(row: LogBookRow, timeZone: string): LogBookEntry {
  return {
    key: row.key, kind: row.kind as LogBookEntry['kind'], at: row.at.toISOString(), on: civilDateAt(row.at.getTime(), timeZone), what: row.what,
    passed: row.passed ?? null, reason: (row.reason ?? null) as LogBookEntry['reason'], defect: row.defect ?? null,
    severity: (row.severity ?? null) as LogBookEntry['severity'], remedy: row.remedy ?? null, note: row.note ? row.note : null,
    parts: row.parts ?? [], tests: row.tests ?? null, cycles: row.cycles ?? null, person: row.person ?? null, signers: row.signers ?? [],
    orderNumber: row.orderNumber ?? null, recordedAt: row.recordedAt?.toISOString() ?? null,
  };
}
