import type { ForceLimitsInUse } from '@lintel/contract';
import { defaultForceLimits } from '@lintel/engine';
import type { ForceLimitTable } from '@lintel/engine';
import { runSql, type CompanyTransaction } from '../sqlRunner.js';

/** The company's force limits in use: its newest version, or the program's own table where nothing was changed yet. */
export async function forceLimitsInUse(transaction: CompanyTransaction): Promise<ForceLimitsInUse> {
  const [newest] = await runSql<{ limits: ForceLimitTable; madeAt: Date; accountId: string | null; accountName: string | null }>(
    transaction,
    `SELECT v.limits, v.made_at AS "madeAt", v.account_id::text AS "accountId", a.name AS "accountName"
     FROM force_limit_version v LEFT JOIN account a ON a.company_id = v.company_id AND a.id = v.account_id
     ORDER BY v.number DESC LIMIT 1`,
    [],
  );
  // The contract's table is the engine's, its lists alone may be written to.
  if (newest === undefined) return { table: defaultForceLimits as ForceLimitsInUse['table'], madeAt: null, accountId: null, accountName: null };
  const { limits, madeAt, ...by } = newest;
  return { table: limits as ForceLimitsInUse['table'], madeAt: madeAt.toISOString(), ...by };
}
