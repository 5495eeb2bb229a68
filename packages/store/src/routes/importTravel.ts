import type { TravelTaken } from '@lintel/contract';
import { parse } from 'csv-parse/sync';
import type pg from 'pg';
import { newId, type CompanyContext } from '../context.js';
import { writeLedger } from '../ledger/writeLedger.js';

const MOST_MINUTES = 10_000;
const MOST_LISTED = 500;

interface End {
  siteId: string | null;
  technicianId: string | null;
}

interface Leg {
  from: End;
  to: End;
  minutes: number;
  km: number | null;
}

/**
 * Takes a list of travel times in: `from,to,minutes[,km]` with a header, ends named by site or by technician. A line that
 * cannot be used is named with its reason, and the rest goes in; what was given for the same two ends before is replaced.
 */
export async function importTravel(client: pg.ClientBase, context: CompanyContext, text: string): Promise<TravelTaken> {
  const names = await placeNames(client, context);
  const refused: TravelTaken['refused'] = [];
  const lines = readLines(text, refused);
  const legs = new Map<string, Leg>();
  for (const { line, cells } of lines) {
    const refuse = (field: string, message: string): void => void refused.push({ line, field, message });
    const [from, to] = (['from', 'to'] as const).map((field) => endOf(names, cells[field], (message) => refuse(field, message)));
    const minutes = numberOf(cells['minutes'], MOST_MINUTES);
    const km = (cells['km'] ?? '') === '' ? null : numberOf(cells['km'], 100_000);
    if (minutes === undefined) refuse('minutes', `must be a number of 0 to ${MOST_MINUTES}`);
    if (km === undefined) refuse('km', 'must be a number of 0 or more');
    if (from && to && minutes !== undefined && km !== undefined) {
      legs.set(`${from.siteId ?? from.technicianId}/${to.siteId ?? to.technicianId}`, { from, to, minutes, km });
    }
  }
  await writeLegs(client, context, [...legs.values()]);
  const refusedLines = new Set(refused.map(({ line }) => line)).size;
  await writeLedger(client, context, { action: 'travel-times-given', subjectKind: 'company', subjectId: context.companyId, detail: { legs: legs.size, refused: refusedLines } });
  return { accepted: legs.size, refusedLines, refused: refused.slice(0, MOST_LISTED) };
}

/** Forgets the whole list: plans made from now on ask the routing server or estimate. @returns how many pairs it had. */
export async function clearTravel(client: pg.ClientBase, context: CompanyContext): Promise<number> {
  const { rowCount } = await client.query('DELETE FROM travel_given WHERE company_id = $1', [context.companyId]);
  const removed = rowCount ?? 0;
  if (removed > 0) await writeLedger(client, context, { action: 'travel-times-cleared', subjectKind: 'company', subjectId: context.companyId, detail: { legs: removed } });
  return removed;
}

async function writeLegs(client: pg.ClientBase, { companyId }: CompanyContext, legs: readonly Leg[]): Promise<void> {
  await client.query(
    `INSERT INTO travel_given (company_id, id, from_site_id, from_technician_id, to_site_id, to_technician_id, minutes, km)
     SELECT $1, l.* FROM unnest($2::uuid[], $3::uuid[], $4::uuid[], $5::uuid[], $6::uuid[], $7::float8[], $8::float8[]) AS l
     ON CONFLICT (company_id, coalesce(from_site_id, from_technician_id), coalesce(to_site_id, to_technician_id))
     DO UPDATE SET minutes = excluded.minutes, km = excluded.km, given_at = excluded.given_at`,
    [companyId, legs.map(() => newId()), legs.map(({ from }) => from.siteId), legs.map(({ from }) => from.technicianId), legs.map(({ to }) => to.siteId),
      legs.map(({ to }) => to.technicianId), legs.map(({ minutes }) => minutes), legs.map(({ km }) => km)],
  );
}

function readLines(text: string, refused: TravelTaken['refused']): { line: number; cells: Record<string, string | undefined> }[] {
  try {
    const rows = parse(text, { bom: true, columns: (header: string[]) => header.map((word) => word.trim().toLowerCase()), info: true,
      relax_column_count: true, skip_empty_lines: true, trim: true }) as unknown as { info: { lines: number }; record: Record<string, string> }[];
    const missing = ['from', 'to', 'minutes'].filter((column) => rows[0] !== undefined && !(column in rows[0].record));
    if (rows.length === 0 || missing.length > 0) {
      refused.push({ line: 1, field: missing[0] ?? 'text', message: rows.length === 0 ? 'there is no line below the header' : `the header has no column '${missing.join("', '")}'` });
      return [];
    }
    return rows.map(({ info, record }) => ({ line: info.lines, cells: record }));
  } catch (error) {
    refused.push({ line: 1, field: 'text', message: (error instanceof Error ? error.message : String(error)).slice(0, 120) });
    return [];
  }
}

function numberOf(cell: string | undefined, most: number): number | undefined {
  const value = cell === undefined || cell === '' ? NaN : Number(cell);
  return value >= 0 && value <= most ? value : undefined;
}

function endOf(names: ReadonlyMap<string, End[]>, cell: string | undefined, refuse: (message: string) => void): End | null {
  const found = names.get((cell ?? '').toLowerCase()) ?? [];
  if (found.length === 1) return found[0]!;
  refuse((found.length === 0 ? `there is no site and no technician '${cell ?? ''}'` : `'${cell}' is the name of several`).slice(0, 120));
  return null;
}

async function placeNames(client: pg.ClientBase, { companyId }: CompanyContext): Promise<Map<string, End[]>> {
  const { rows } = await client.query<End & { name: string }>(
    `SELECT lower(name) AS name, id AS "siteId", NULL AS "technicianId" FROM site WHERE company_id = $1 AND archived_at IS NULL
     UNION ALL SELECT lower(a.name), NULL, t.id FROM technician t JOIN account a ON a.company_id = t.company_id AND a.id = t.id
     WHERE t.company_id = $1 AND t.archived_at IS NULL`,
    [companyId],
  );
  const names = new Map<string, End[]>();
  for (const { name, ...end } of rows) names.set(name, [...(names.get(name) ?? []), end]);
  return names;
}
