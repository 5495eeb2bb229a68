import type { LedgerAnchor, LedgerState } from '@lintel/contract';
import type pg from 'pg';

/** Where the chain of the transaction's company ends; null while there is no entry. */
export async function ledgerAnchor(client: pg.ClientBase): Promise<LedgerAnchor | null> {
  const { rows } = await client.query<Omit<LedgerAnchor, 'at'> & { at: Date }>(
    `SELECT h.company_id AS "companyId", c.name AS "companyName", h.sequence::float8 AS sequence, encode(h.hash, 'hex') AS hash, e.at
     FROM ledger_head h JOIN company c ON c.id = h.company_id
     JOIN ledger_entry e ON e.company_id = h.company_id AND e.sequence = h.sequence`,
  );
  const [anchor] = rows;
  return anchor === undefined ? null : { ...anchor, at: anchor.at.toISOString() };
}

/** The chain of the transaction's company, and what its last check found. */
export async function ledgerState(client: pg.ClientBase): Promise<LedgerState> {
  const { rows } = await client.query<{ at: Date; entries: number; fault: NonNullable<LedgerState['check']>['fault'] }>(
    'SELECT at, entries::float8 AS entries, fault FROM ledger_check ORDER BY at DESC, id DESC LIMIT 1',
  );
  const [check] = rows;
  return { head: await ledgerAnchor(client), check: check === undefined ? null : { ...check, at: check.at.toISOString() } };
}
