import type pg from 'pg';
import type { CompanyDb } from './context.js';

/** Either kind of company transaction: helpers that add a row of their own to it take both. */
export type CompanyTransaction = CompanyDb | pg.ClientBase;

/** Runs one statement with `$1…` parameters in the caller's transaction; returns its rows. */
export async function runSql<Row>(transaction: CompanyTransaction, sql: string, values: readonly unknown[]): Promise<Row[]> {
  if ('$queryRawUnsafe' in transaction) return (await transaction.$queryRawUnsafe(sql, ...values)) as Row[];
  return (await transaction.query(sql, [...values])).rows as Row[];
}
