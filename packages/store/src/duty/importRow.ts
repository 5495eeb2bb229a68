import type { ImportKind, ImportMapping } from '@lintel/contract';
import type pg from 'pg';
import { newId, type CompanyContext } from '../context.js';
import { writeLedger } from '../ledger/writeLedger.js';
import type { ImportProgress, ImportResult } from './importTypes.js';

/** An import as it stands in the store. */
export interface ImportRow {
  kind: ImportKind;
  fileName: string;
  state: string;
  mapping: unknown;
  cancelRequested: boolean;
  lines: number;
  accepted: number;
  unchanged: number;
  refused: number;
  readBytes: string;
  error: string | null;
}

export const IMPORT_COLUMNS = `kind, file_name AS "fileName", state, mapping, cancel_requested AS "cancelRequested", lines,
  accepted, unchanged, refused, read_bytes::text AS "readBytes", error`;

export function isEnded(state: string): state is ImportResult['state'] {
  return state === 'done' || state === 'failed' || state === 'cancelled';
}

export function progressOf(row: ImportRow): ImportProgress {
  const { lines, accepted, unchanged, refused } = row;
  return { readBytes: Number(row.readBytes), lines, accepted, unchanged, refused };
}

export function resultOf(row: ImportRow): ImportResult {
  if (!isEnded(row.state)) throw new Error(`the import has not ended, it is ${row.state}`);
  return { ...progressOf(row), state: row.state, error: row.error };
}

/** Reads an import and holds it until the transaction ends: whoever counts lines does so one after the other. */
export async function lockImport(client: pg.ClientBase, context: CompanyContext, importId: string): Promise<ImportRow> {
  const { rows } = await client.query<ImportRow>(
    `SELECT ${IMPORT_COLUMNS} FROM import WHERE company_id = $1 AND id = $2 FOR UPDATE`,
    [context.companyId, importId],
  );
  if (rows[0] === undefined) throw new RangeError(`there is no import ${importId}`);
  return rows[0];
}

/** Ends an import, if it has not ended: the file itself is let go, the ledger says what came of it. */
export async function endImport(
  client: pg.ClientBase,
  context: CompanyContext,
  importId: string,
  state: ImportResult['state'],
  error: string | null,
): Promise<ImportResult> {
  const before = await lockImport(client, context, importId);
  if (isEnded(before.state)) return resultOf(before);
  const { rows } = await client.query<ImportRow>(
    `UPDATE import SET state = $3::"ImportState", error = $4, ended_at = now(), version = version + 1
     WHERE company_id = $1 AND id = $2 RETURNING ${IMPORT_COLUMNS}`,
    [context.companyId, importId, state, error],
  );
  const row = rows[0]!;
  await client.query('DELETE FROM import_chunk WHERE company_id = $1 AND import_id = $2', [context.companyId, importId]);
  const { kind, fileName, lines, accepted, unchanged, refused } = row;
  await writeLedger(client, context, {
    action: `import-${state}`,
    subjectKind: 'import',
    subjectId: importId,
    detail: { kind, fileName, lines, accepted, unchanged, refused, ...(error === null ? {} : { error }) },
  });
  return resultOf(row);
}

export interface NewImport {
  kind: ImportKind;
  fileName: string;
  sizeBytes: number;
  header: readonly string[];
  mapping: ImportMapping;
}

/** Enters a file that is about to be brought in. @returns its id. */
export async function createImport(client: pg.ClientBase, context: CompanyContext, file: NewImport): Promise<string> {
  const id = newId();
  await client.query(
    `INSERT INTO import (company_id, id, kind, file_name, state, size_bytes, header, mapping, account_id)
     VALUES ($1, $2, $3, $4, 'waiting', $5, $6, $7, $8)`,
    [context.companyId, id, file.kind, file.fileName, file.sizeBytes, file.header, JSON.stringify(file.mapping), context.accountId],
  );
  return id;
}
