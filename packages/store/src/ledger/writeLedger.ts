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
export async function writeLedger(transaction: CompanyTransaction, context: CompanyContext, note: LedgerNote): Promise<void> {
  await runSql(
    transaction,
    `INSERT INTO ledger_entry (company_id, id, account_id, actor, action, subject_kind, subject_id, detail)
     VALUES ($1::uuid, $2::uuid, $3::uuid, $4, $5, $6, $7::uuid, $8::jsonb) RETURNING id::text`,
    [context.companyId, newId(), context.accountId, context.actor, note.action, note.subjectKind, note.subjectId,
      JSON.stringify(note.detail ?? {})],
  );
}
