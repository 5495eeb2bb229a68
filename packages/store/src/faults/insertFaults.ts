import type pg from 'pg';
import { newId, type CompanyContext } from '../context.js';

/** A fault, placed: its door and code are known. */
export interface PlacedFault {
  doorId: string;
  faultCodeId: string;
  /** Milliseconds since 1970-01-01T00:00Z. */
  at: number;
  lifetimeCycles: number | null;
  note: string | null;
}

export interface FaultOrigin {
  source: 'form' | 'file' | 'post' | 'wire';
  importId: string | null;
}

const DAY_MS = 86_400_000;

/** The company's codes, archived ones too: doors go on reporting them. Upper and lower case are alike. */
export async function loadFaultCodes(client: pg.ClientBase): Promise<ReadonlyMap<string, string>> {
  const { rows } = await client.query<{ code: string; id: string }>('SELECT lower(code) AS code, id FROM fault_code');
  return new Map(rows.map(({ code, id }) => [code, id]));
}

/** Whether an instant lies before the door was there; its date begins up to a day apart from UTC's. */
export function beforeInstallation(installedOn: string, at: number): boolean {
  return at < Date.parse(`${installedOn}T00:00:00Z`) - DAY_MS;
}

/**
 * Adds faults that are not there yet, as one statement, in the order of their key: two batches that bring the same ones wait for
 * each other instead of locking up. @returns how many were added.
 */
export async function insertFaults(
  client: pg.ClientBase,
  context: CompanyContext,
  origin: FaultOrigin,
  faults: readonly PlacedFault[],
): Promise<number> {
  if (faults.length === 0) return 0;
  const sorted = [...faults].sort(
    (a, b) => order(a.doorId, b.doorId) || a.at - b.at || order(a.faultCodeId, b.faultCodeId),
  );
  const { rowCount } = await client.query(
    `INSERT INTO fault (company_id, id, door_id, fault_code_id, at, lifetime_cycles, source, note, import_id, account_id)
     SELECT $1::uuid, f.id, f.door_id, f.fault_code_id, f.at, f.lifetime_cycles, $2::"FaultSource", f.note, $3::uuid, $4::uuid
     FROM unnest($5::uuid[], $6::uuid[], $7::uuid[], $8::timestamptz[], $9::bigint[], $10::text[])
       AS f(id, door_id, fault_code_id, at, lifetime_cycles, note)
     ON CONFLICT DO NOTHING`,
    [
      context.companyId,
      origin.source,
      origin.importId,
      context.accountId,
      sorted.map(() => newId()),
      sorted.map((fault) => fault.doorId),
      sorted.map((fault) => fault.faultCodeId),
      sorted.map((fault) => new Date(fault.at).toISOString()),
      sorted.map((fault) => fault.lifetimeCycles),
      sorted.map((fault) => fault.note),
    ],
  );
  return rowCount ?? 0;
}

const order = (a: string, b: string): number => (a < b ? -1 : a > b ? 1 : 0);
