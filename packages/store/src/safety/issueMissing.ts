import type { CompanyContext, Store } from '../context.js';
import { runSql, type CompanyTransaction } from '../sqlRunner.js';
import { issueCertificate, type IssuedCertificate } from './issueCertificate.js';

/** A completed inspection or commissioning that has no certificate: nothing could be signed when it was completed. */
export interface Uncertified {
  workOrderId: string;
  workOrderNumber: number;
  doorName: string;
  siteName: string;
  completedAt: string;
}

/** Most that are listed and issued at once; asked again, the next. */
export const MOST_UNCERTIFIED = 500;

/** What waits for its certificate, the oldest first. Which one stands goes by the day of completion, however late it is issued. */
export function uncertified(transaction: CompanyTransaction, { companyId }: CompanyContext): Promise<Uncertified[]> {
  return runSql<Uncertified>(
    transaction,
    `SELECT o.id::text AS "workOrderId", o.number AS "workOrderNumber", d.name AS "doorName", s.name AS "siteName",
       to_char(o.completed_at AT TIME ZONE 'UTC', 'YYYY-MM-DD"T"HH24:MI:SS.MS"Z"') AS "completedAt"
     FROM work_order o
     JOIN door d ON d.company_id = o.company_id AND d.id = o.door_id
     JOIN site s ON s.company_id = d.company_id AND s.id = d.site_id
     WHERE o.company_id = $1::uuid AND o.kind IN ('inspection', 'commissioning') AND o.state IN ('completed', 'reviewed')
       AND o.passed IS NOT NULL AND o.completed_by_id IS NOT NULL AND o.completed_at IS NOT NULL
       AND NOT EXISTS (SELECT FROM certificate c WHERE c.company_id = o.company_id AND c.work_order_id = o.id)
     ORDER BY o.completed_at, o.number LIMIT ${MOST_UNCERTIFIED}`,
    [companyId],
  );
}

/**
 * Issues what `uncertified` lists, each in a transaction of its own: what was issued before an error stays. Two that run at once
 * issue one certificate each order: the table takes no second one, and the loser stops.
 * @throws KeySecretError where still nothing can be signed.
 */
export async function issueMissing(store: Store, context: CompanyContext): Promise<(Uncertified & IssuedCertificate)[]> {
  const waiting = await store.withCompany(context, (db) => uncertified(db, context));
  const issued: (Uncertified & IssuedCertificate)[] = [];
  for (const one of waiting) {
    issued.push({ ...one, ...(await store.withCompany(context, (db) => issueCertificate(db, context, one.workOrderId))) });
  }
  return issued;
}
