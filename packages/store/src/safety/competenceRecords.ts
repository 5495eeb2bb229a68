import type { CompetenceRecord } from '@lintel/engine';
import { runSql, type CompanyTransaction } from '../sqlRunner.js';

/** The company's records of competence, whoever's they are and however they stand; the engine's `competenceOn` judges them. */
export async function competenceRecords(transaction: CompanyTransaction): Promise<CompetenceRecord[]> {
  const rows = await runSql<Omit<CompetenceRecord, 'validUntil' | 'revokedOn'> & { validUntil: string | null; revokedOn: string | null }>(
    transaction,
    `SELECT id::text AS id, account_id::text AS "accountId", replace(kind::text, '_', '-') AS kind, valid_from::text AS "validFrom",
       valid_until::text AS "validUntil", revoked_on::text AS "revokedOn"
     FROM competence`,
    [],
  );
  return rows.map(({ validUntil, revokedOn, ...record }): CompetenceRecord => ({
    ...record,
    ...(validUntil !== null && { validUntil }),
    ...(revokedOn !== null && { revokedOn }),
  }));
}
