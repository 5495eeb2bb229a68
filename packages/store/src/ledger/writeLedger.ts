import { newId, type CompanyContext } from '../context.js';
import { runSql, type CompanyTransaction } from '../sqlRunner.js';

export interface LedgerNote {
  /** Past tense, e.g. `door-decommissioned`. */
  action: string;
  subjectKind: string;
  subjectId: string | null;
  detail?: Record<string, unknown>;
}

/** Adds an entry to the company's ledger in the caller's own transaction. */
export function writeLedger(transaction: CompanyTransaction, context: CompanyContext, note: LedgerNote): Promise<void> {
  return writeLedgerMany(transaction, context, [note]);
}

/** The same for many entries at once; they follow each other in the order given. */
export async function writeLedgerMany(transaction: CompanyTransaction, context: CompanyContext, notes: readonly LedgerNote[]): Promise<void> {
  if (notes.length === 0) return;
  await runSql(
    transaction,
    `INSERT INTO ledger_entry (company_id, id, account_id, actor, action, subject_kind, subject_id, detail)
     SELECT $1::uuid, n.id, $2::uuid, $3, n.action, n.subject_kind, n.subject_id, n.detail::jsonb
     FROM unnest($4::uuid[], $5::text[], $6::text[], $7::uuid[], $8::text[]) AS n(id, action, subject_kind, subject_id, detail)
     RETURNING id::text`,
    [context.companyId, context.accountId, context.actor, notes.map(() => newId()), notes.map(({ action }) => action),
      notes.map(({ subjectKind }) => subjectKind), notes.map(({ subjectId }) => subjectId),
      notes.map(({ detail }) => JSON.stringify(detail ?? {}))],
  );
}
