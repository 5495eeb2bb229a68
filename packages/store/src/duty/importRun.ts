import { importMapping, type ImportKind, type ImportMapping } from '@lintel/contract';
import type pg from 'pg';
import type { CompanyContext, Store } from '../context.js';
import { FaultsImport } from '../faults/importFaults.js';
import { DoorsImport } from '../fleet/importDoors.js';
import { PartsImport } from '../fleet/importParts.js';
import { enqueue, enqueueMany } from '../jobs/enqueue.js';
import { mappingFault } from './importColumns.js';
import { ImportCells, type ImportHandler } from './importHandler.js';
import { rememberMapping } from './importMapping.js';
import { ReadingsImport } from './importReadings.js';
import { endImport, IMPORT_COLUMNS, isEnded, lockImport, progressOf, resultOf, type ImportRow } from './importRow.js';
import { ImportFileError, inspectImportFile, readImportLines, SAMPLE_BYTES, type ReadLine } from './importText.js';
import type { ImportProgress, ImportResult, RefusedCell } from './importTypes.js';
import { askForAllRefits } from '../wear/askForRefits.js';

/** Lines to a transaction. The same file falls into the same batches each time: that is what a second run goes by. */
export const IMPORT_BATCH_LINES = 5_000;

/** Above so many doors one projection of the whole company is asked for instead of one a door. */
const MOST_DOOR_PROJECTIONS = 500;

export interface ImportRun {
  importId: string;
  /** The file from its beginning; asked for anew by each run. */
  open: () => AsyncIterable<Buffer>;
  /** Left out: the one that the import keeps, else what the file suggests. */
  mapping?: ImportMapping;
  onProgress?: (progress: ImportProgress) => void;
  /** Asked between batches. */
  isCancelled?: () => boolean;
  /** Milliseconds since 1970-01-01T00:00Z; readings further ahead are refused. Left out: this machine's clock. */
  now?: number;
}

/**
 * Brings a file in: line by line, in batches of one transaction each, with bounded memory. Every refused line is kept with its
 * field and reason; a file that is no file of its kind fails as a whole with one sentence.
 *
 * Safe to run twice at once, and again after a crash: each batch is committed together with the count of the lines done, so a
 * batch that any run has done is passed over by the others. An import that has ended stays as it ended. What was brought in
 * before a cancellation stays.
 * @throws whatever the database or the source throws; then the import can be run again and goes on where it stood.
 */
export async function runImport(store: Store, context: CompanyContext, run: ImportRun): Promise<ImportResult> {
  const begun = await store.withCompanySql(context, (client) => begin(client, context, run));
  if (isEnded(begun.state)) return resultOf(begun);
  try {
    const prepared = await prepare(run, begun);
    await store.withCompanySql(context, (client) => keepMapping(client, context, run.importId, prepared));
    return await new FileRun(store, context, run, prepared, makeHandler(context, run, begun.kind, prepared.cells)).all();
  } catch (error) {
    if (!(error instanceof ImportFileError)) throw error;
    return store.withCompanySql(context, (client) => endImport(client, context, run.importId, 'failed', error.message));
  }
}

interface PreparedFile {
  delimiter: string;
  header: string[];
  mapping: ImportMapping;
  cells: ImportCells;
}

async function begin(client: pg.ClientBase, context: CompanyContext, run: ImportRun): Promise<ImportRow> {
  const row = await lockImport(client, context, run.importId);
  if (isEnded(row.state)) return row;
  await client.query(
    `UPDATE import SET state = 'running', started_at = coalesce(started_at, now()), version = version + 1
     WHERE company_id = $1 AND id = $2`,
    [context.companyId, run.importId],
  );
  return row;
}

async function prepare(run: ImportRun, row: ImportRow): Promise<PreparedFile> {
  const { sample, whole } = await firstBytes(run.open());
  const { delimiter, header, suggested } = inspectImportFile(row.kind, sample, whole);
  const kept = row.mapping === null ? undefined : importMapping.parse(row.mapping);
  const mapping = kept ?? run.mapping ?? suggested;
  const fault = mappingFault(row.kind, header, mapping);
  if (fault !== null) throw new ImportFileError(fault);
  return { delimiter, header, mapping, cells: new ImportCells(header, mapping) };
}

async function firstBytes(source: AsyncIterable<Buffer>): Promise<{ sample: Buffer; whole: boolean }> {
  const pieces: Buffer[] = [];
  let length = 0;
  for await (const piece of source) {
    pieces.push(piece);
    length += piece.length;
    if (length >= SAMPLE_BYTES) break;
  }
  return { sample: Buffer.concat(pieces).subarray(0, SAMPLE_BYTES), whole: length < SAMPLE_BYTES };
}

/** From here on every run of this import reads the file in the same way. */
async function keepMapping(client: pg.ClientBase, context: CompanyContext, importId: string, file: PreparedFile): Promise<void> {
  await client.query(
    `UPDATE import SET mapping = $3, header = $4 WHERE company_id = $1 AND id = $2 AND (mapping IS NULL OR header = '{}')`,
    [context.companyId, importId, JSON.stringify(file.mapping), file.header],
  );
}

function makeHandler(context: CompanyContext, run: ImportRun, kind: ImportKind, cells: ImportCells): ImportHandler {
  if (kind === 'readings') return new ReadingsImport(context, run.importId, cells, run.now ?? Date.now());
  if (kind === 'faults') return new FaultsImport(context, run.importId, cells, run.now ?? Date.now());
  return kind === 'doors' ? new DoorsImport(context, cells) : new PartsImport(context, cells);
}

/** One run through the file. */
class FileRun {
  private done = 0;
  private readonly touched = new Set<string>();
  /** Another run has done some batches: whose doors we have not seen. */
  private passedOver = false;

  constructor(
    private readonly store: Store,
    private readonly context: CompanyContext,
    private readonly run: ImportRun,
    private readonly file: PreparedFile,
    private readonly handler: ImportHandler,
  ) {}

  async all(): Promise<ImportResult> {
    let batch: ReadLine[] = [];
    let broken: string | null = null;
    try {
      for await (const line of readImportLines(this.run.open(), this.file.delimiter)) {
        batch.push(line);
        if (batch.length < IMPORT_BATCH_LINES) continue;
        const ended = await this.commit(batch);
        if (ended !== null) return ended;
        batch = [];
      }
    } catch (error) {
      if (!(error instanceof ImportFileError)) throw error;
      broken = error.message;
    }
    const ended = batch.length > 0 ? await this.commit(batch) : null;
    return ended ?? this.finish(broken === null ? 'done' : 'failed', broken);
  }

  /** Writes one batch, unless it is done already. @returns the result if the import has ended meanwhile. */
  private async commit(batch: readonly ReadLine[]): Promise<ImportResult | null> {
    const last = this.done + batch.length;
    const row = await this.store.withCompanySql(this.context, async (client) => {
      const found = await lockImport(client, this.context, this.run.importId);
      if (isEnded(found.state) || this.isCancelled(found)) return found;
      if (found.lines >= last) this.passedOver = true;
      return found.lines >= last ? found : this.write(client, batch, last);
    });
    this.done = last;
    if (isEnded(row.state)) return resultOf(row);
    if (this.isCancelled(row)) return this.finish('cancelled');
    this.run.onProgress?.(progressOf(row));
    return null;
  }

  private isCancelled(row: ImportRow): boolean {
    return row.cancelRequested || this.run.isCancelled?.() === true;
  }

  private async write(client: pg.ClientBase, batch: readonly ReadLine[], last: number): Promise<ImportRow> {
    const { context } = this;
    const refusals: RefusedCell[] = [];
    const sound: ReadLine[] = [];
    for (const line of batch) {
      const reason = this.shapeFault(line);
      if (reason === null) sound.push(line);
      else refusals.push({ line: line.line, field: 'line', reason });
    }
    const outcome = await this.handler.apply(client, sound);
    refusals.push(...outcome.refusals);
    for (const doorId of outcome.doorIds) if (this.touched.size <= MOST_DOOR_PROJECTIONS) this.touched.add(doorId);
    await this.keepRefusals(client, batch, refusals);
    const { rows } = await client.query<ImportRow>(
      `UPDATE import SET lines = $3, accepted = accepted + $4, unchanged = unchanged + $5, refused = refused + $6, read_bytes = $7
       WHERE company_id = $1 AND id = $2
       RETURNING ${IMPORT_COLUMNS}`,
      [context.companyId, this.run.importId, last, outcome.accepted, outcome.unchanged,
        new Set(refusals.map((refusal) => refusal.line)).size, batch.at(-1)!.readBytes],
    );
    return rows[0]!;
  }

  private shapeFault(line: ReadLine): string | null {
    const columns = this.file.header.length;
    const { cells } = line;
    if (cells.length < columns || cells.slice(columns).some((cell) => cell.trim() !== '')) {
      return `the line has ${cells.length} cells, the header has ${columns}`;
    }
    // The first stands for bytes that are not UTF-8; the second PostgreSQL cannot keep.
    return cells.some((cell) => cell.includes('\ufffd') || cell.includes('\u0000')) ? 'the line holds bytes that are not UTF-8 text' : null;
  }

  private async keepRefusals(client: pg.ClientBase, batch: readonly ReadLine[], refusals: readonly RefusedCell[]): Promise<void> {
    if (refusals.length === 0) return;
    const cells = new Map(batch.map((line) => [line.line, line.cells]));
    const excerpt = (line: number): string =>
      // PostgreSQL cannot keep the character 0.
      cells.get(line)!.join(this.file.delimiter).slice(0, 300).replaceAll('\u0000', '\ufffd');
    await client.query(
      `INSERT INTO import_refusal (company_id, import_id, line, field, reason, excerpt)
       SELECT $1::uuid, $2::uuid, r.line, r.field, r.reason, r.excerpt
       FROM unnest($3::int[], $4::text[], $5::text[], $6::text[]) AS r(line, field, reason, excerpt)
       ON CONFLICT DO NOTHING`,
      [this.context.companyId, this.run.importId, refusals.map((each) => each.line), refusals.map((each) => each.field),
        refusals.map((each) => each.reason.replaceAll('\u0000', '\ufffd')), refusals.map((each) => excerpt(each.line))],
    );
  }

  private finish(state: ImportResult['state'], error: string | null = null): Promise<ImportResult> {
    const { context, run } = this;
    return this.store.withCompanySql(context, async (client) => {
      const row = await lockImport(client, context, run.importId);
      if (isEnded(row.state)) return resultOf(row);
      const many = this.passedOver || this.touched.size > MOST_DOOR_PROJECTIONS;
      if (many) await enqueue(client, context, 'project-company', {});
      else await enqueueMany(client, context, 'project-door', [...this.touched].map((doorId) => ({ doorId })));
      if (row.kind === 'parts') await askForAllRefits(client, context);
      if (state === 'done') await rememberMapping(client, context, row.kind, this.file.header, this.file.mapping);
      return endImport(client, context, run.importId, state, error);
    });
  }
}
