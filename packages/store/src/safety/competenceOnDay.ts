import { competenceOn } from '@lintel/engine';
import type { CivilDate, CompetenceKind, CompetenceRecord, CompetenceVerdict } from '@lintel/engine';
import { runSql, type CompanyTransaction } from '../sqlRunner.js';

/**
 * Whether somebody of the company is competent for a kind of work on a day in the site's calendar: the engine's `competenceOn`
 * over all of the company's records of the kind. It `blocks` only once the company has recorded a competence of that kind.
 */
export async function competenceOnDay(
  transaction: CompanyTransaction,
  asked: { accountId: string; kind: CompetenceKind; on: CivilDate },
): Promise<CompetenceVerdict> {
  return competenceOn(await competenceRecords(transaction, asked.kind), asked);
}

/** The company's records of competence, of one kind or of all, whoever's they are and however they stand. */
export async function competenceRecords(transaction: CompanyTransaction, kind: CompetenceKind | null = null): Promise<CompetenceRecord[]> {
  const rows = await runSql<Omit<CompetenceRecord, 'validUntil' | 'revokedOn'> & { validUntil: string | null; revokedOn: string | null }>(
    transaction,
    `SELECT id::text AS id, account_id::text AS "accountId", replace(kind::text, '_', '-') AS kind, valid_from::text AS "validFrom",
       valid_until::text AS "validUntil", revoked_on::text AS "revokedOn"
     FROM competence WHERE $1::text IS NULL OR kind = $1::text::"CompetenceKind"`,
    [kind?.replaceAll('-', '_') ?? null],
  );
  return rows.map(({ validUntil, revokedOn, ...record }): CompetenceRecord => ({
    ...record,
    ...(validUntil !== null && { validUntil }),
    ...(revokedOn !== null && { revokedOn }),
  }));
}
