import type { ImportKind } from '@lintel/contract';
import { newId, type CompanyContext, type Store } from '../context.js';
import { writeLedger } from '../ledger/writeLedger.js';
import { rememberedMapping } from './importMapping.js';
import { ImportFileError, inspectImportFile, SAMPLE_BYTES } from './importText.js';

/** Pieces of the file as they are kept, one row each. */
const chunkBytes = 1_048_576;
/** Largest file taken. */
export const largestUploadBytes = 2 * 1024 * 1_048_576;

export class UploadTooLarge extends Error {}

export interface Upload {
  kind: ImportKind;
  fileName: string;
  body: AsyncIterable<Buffer>;
}

/**
 * Keeps an uploaded file, piece by piece, for a worker to bring in; never more than two pieces in memory. The import is
 * `uploading` until the last byte has come, then `uploaded`, with its columns and a mapping: that of the last file with the
 * same columns, else one guessed from their names. What breaks off leaves nothing behind but the row, as failed.
 * @returns the id of the import. @throws ImportFileError when it is no such file, UploadTooLarge.
 */
export async function storeUpload(store: Store, context: CompanyContext, upload: Upload): Promise<string> {
  const importId = newId();
  const { companyId, accountId } = context;
  await store.withCompanySql(context, (client) =>
    client.query(
      `INSERT INTO import (company_id, id, kind, file_name, state, header, account_id) VALUES ($1, $2, $3, $4, 'uploading', '{}', $5)`,
      [companyId, importId, upload.kind, upload.fileName, accountId],
    ));
  try {
    const { sample, sizeBytes } = await keepChunks(store, context, importId, upload.body);
    await describe(store, context, importId, upload, sample, sizeBytes);
    return importId;
  } catch (error) {
    await giveUp(store, context, importId, error);
    throw error;
  }
}

async function keepChunks(
  store: Store,
  context: CompanyContext,
  importId: string,
  body: AsyncIterable<Buffer>,
): Promise<{ sample: Buffer; sizeBytes: number }> {
  let sample: Buffer = Buffer.alloc(0);
  let sizeBytes = 0;
  let ordinal = 0;
  for await (const chunk of inChunks(body)) {
    sizeBytes += chunk.length;
    if (sizeBytes > largestUploadBytes) throw new UploadTooLarge(`the file is larger than ${largestUploadBytes} bytes`);
    if (ordinal === 0) sample = Buffer.from(chunk.subarray(0, SAMPLE_BYTES));
    const values = [context.companyId, importId, ordinal, chunk];
    await store.withCompanySql(context, (client) =>
      client.query('INSERT INTO import_chunk (company_id, import_id, ordinal, body) VALUES ($1, $2, $3, $4)', values));
    ordinal += 1;
  }
  return { sample, sizeBytes };
}

async function* inChunks(body: AsyncIterable<Buffer>): AsyncGenerator<Buffer, void> {
  let pieces: Buffer[] = [];
  let length = 0;
  for await (const piece of body) {
    pieces.push(piece);
    length += piece.length;
    if (length < chunkBytes) continue;
    yield Buffer.concat(pieces);
    pieces = [];
    length = 0;
  }
  if (length > 0) yield Buffer.concat(pieces);
}

async function describe(
  store: Store,
  context: CompanyContext,
  importId: string,
  { kind, fileName }: Upload,
  sample: Buffer,
  sizeBytes: number,
): Promise<void> {
  const { header, suggested } = inspectImportFile(kind, sample, sizeBytes <= sample.length);
  await store.withCompanySql(context, async (client) => {
    const mapping = (await rememberedMapping(client, context, kind, header)) ?? suggested;
    await client.query(
      `UPDATE import SET state = 'uploaded', header = $2, mapping = $3, size_bytes = $4, version = version + 1 WHERE id = $1`,
      [importId, header, JSON.stringify(mapping), sizeBytes],
    );
    await writeLedger(client, context, {
      action: 'import-uploaded', subjectKind: 'import', subjectId: importId, detail: { kind, fileName, sizeBytes },
    });
  });
}

async function giveUp(store: Store, context: CompanyContext, importId: string, error: unknown): Promise<void> {
  const reason = error instanceof ImportFileError || error instanceof UploadTooLarge ? error.message : 'the upload broke off';
  await store.withCompanySql(context, async (client) => {
    await client.query('DELETE FROM import_chunk WHERE import_id = $1', [importId]);
    await client.query(
      `UPDATE import SET state = 'failed', error = $2, ended_at = now(), version = version + 1 WHERE id = $1`, [importId, reason]);
  });
}
