import { createImport, inspectImportFile, runImport, type CompanyContext, type ImportResult, type ImportRun, type Store } from '@lintel/store';
import type { ImportKind, ImportMapping } from '@lintel/contract';

/** A text as a file that is read in pieces of some bytes. */
export function pieces(text: string, size = 65_536): () => AsyncGenerator<Buffer> {
  const whole = Buffer.from(text);
  return async function* () {
    for (let from = 0; from < whole.length; from += size) yield whole.subarray(from, from + size);
  };
}

export interface BroughtIn {
  importId: string;
  result: ImportResult;
}

/** Brings a text in as a file, mapped as it suggests itself unless said otherwise. */
export async function bringIn(
  store: Store,
  context: CompanyContext,
  kind: ImportKind,
  text: string,
  options: Partial<ImportMapping> & Partial<Pick<ImportRun, 'now' | 'open' | 'onProgress' | 'isCancelled'>> & { importId?: string } = {},
): Promise<BroughtIn> {
  const { now, open, onProgress, isCancelled, importId: known, ...mapping } = options;
  const importId = known ?? (await enterFile(store, context, kind, text, mapping));
  const run: ImportRun = { importId, open: open ?? pieces(text), now: now ?? Date.parse('2026-11-25T12:00:00Z') };
  if (onProgress) run.onProgress = onProgress;
  if (isCancelled) run.isCancelled = isCancelled;
  return { importId, result: await runImport(store, context, run) };
}

export async function enterFile(
  store: Store,
  context: CompanyContext,
  kind: ImportKind,
  text: string,
  mapping: Partial<ImportMapping> = {},
): Promise<string> {
  const { header, suggested } = inspectImportFile(kind, Buffer.from(text).subarray(0, 65_536));
  return store.withCompanySql(context, (client) =>
    createImport(client, context, {
      kind, fileName: `${kind}.csv`, sizeBytes: text.length, header,
      mapping: { ...suggested, ...mapping, columns: { ...suggested.columns, ...mapping.columns } },
    }),
  );
}
