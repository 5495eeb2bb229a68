import { createHash } from 'node:crypto';
import { Readable, pipeline } from 'node:stream';
import { parse, type Options } from 'csv-parse';
import { parse as parseWhole } from 'csv-parse/sync';
import type { ImportKind, ImportMapping } from '@lintel/contract';
import { suggestMapping } from './importColumns.js';
import { looksLikeInstant } from './importInstant.js';
import { parseWholeNumber, quoted } from './importNumber.js';
import type { ImportLine } from './importTypes.js';

/** How much of a file is looked at to tell what it is. */
export const SAMPLE_BYTES = 65_536;

const DELIMITERS = [',', ';', '\t'] as const;
const LONGEST_LINE_BYTES = 1_000_000;
const MOST_COLUMNS = 200;
const SAMPLE_LINES = 50;

/** A file that cannot be read at all; the message says why, in one sentence. */
export class ImportFileError extends Error {
  override readonly name = 'ImportFileError';
}

export interface InspectedFile {
  delimiter: string;
  header: string[];
  /** Guessed from names and contents. */
  suggested: ImportMapping;
}

/**
 * What kind of file is this? Looks at its first bytes (SAMPLE_BYTES are enough; `whole` when they are all there are).
 * @throws ImportFileError if it is empty, no UTF-8 text, or has no line of column names.
 */
export function inspectImportFile(kind: ImportKind, sample: Buffer, whole = sample.length < SAMPLE_BYTES): InspectedFile {
  const text = textOf(sample, whole);
  const firstLine = text.split(/\r\n|\n|\r/).find((line) => line.trim() !== '');
  if (firstLine === undefined) throw new ImportFileError('the file is empty');
  const delimiter = delimiterOf(firstLine);
  const rows = rowsOf(whole ? text : upToLastLine(text), delimiter);
  const header = (rows[0] ?? []).map((name) => name.trim());
  checkHeader(header);
  return { delimiter, header, suggested: suggestMapping(kind, header, rows.slice(1)) };
}

/** Key by which the mapping of a header is remembered: SHA-256 of its names, in hexadecimal. */
export function headerKeyOf(header: readonly string[]): string {
  return createHash('sha256').update(header.join('\u001f')).digest('hex');
}

const optionsFor = (delimiter: string) =>
  ({
    delimiter,
    bom: true,
    relax_column_count: true,
    // A stray quote inside a cell is that cell's own trouble, not the file's.
    relax_quotes: true,
    skip_empty_lines: true,
    // Spreadsheets leave lines of nothing but delimiters behind.
    skip_records_with_empty_values: true,
    record_delimiter: ['\r\n', '\n', '\r'],
    max_record_size: LONGEST_LINE_BYTES,
  }) satisfies Options;

export interface ReadLine extends ImportLine {
  /** Bytes of the file up to the end of this line. */
  readBytes: number;
}

/**
 * The lines of a CSV file behind its header, one after the other; never more of the file in memory than a few pieces.
 * @throws ImportFileError naming the line, where a quoted cell is never closed or a line is longer than a megabyte.
 */
export async function* readImportLines(source: AsyncIterable<Buffer>, delimiter: string): AsyncGenerator<ReadLine, void> {
  let broken = false;
  const parser = parse({
    ...optionsFor(delimiter),
    info: true,
    // Without this an open quote at the end would take the good lines before it along.
    skip_records_with_error: true,
    on_skip: (error) => {
      broken = true;
      if (error?.code !== 'CSV_QUOTE_NOT_CLOSED') throw error;
    },
  });
  // The callback takes the error that the parser hands on to the loop below.
  pipeline(Readable.from(source), parser, () => undefined);
  const lines = new LineNumbers();
  let header = true;
  try {
    for await (const { record, info } of parser as AsyncIterable<{ record: string[]; info: { lines: number; bytes: number } }>) {
      const line = lines.startOf(record, info.lines);
      if (header) header = false;
      else yield { line, cells: record, readBytes: info.bytes };
    }
  } catch (error) {
    if (!broken) throw error;
  }
  if (broken) {
    throw new ImportFileError(`line ${lines.last + 1}: a quoted cell is never closed, or the line is longer than a megabyte`);
  }
}

/** Numbers of lines as an editor shows them; the parser counts a line break of two characters inside a cell twice. */
class LineNumbers {
  last = 0;
  private countedTwice = 0;

  startOf(cells: readonly string[], counted: number): number {
    let breaks = 0;
    for (const cell of cells) {
      if (!cell.includes('\n') && !cell.includes('\r')) continue;
      breaks += cell.split(/\r\n|\n|\r/).length - 1;
      this.countedTwice += cell.split('\r\n').length - 1;
    }
    this.last = counted - this.countedTwice;
    return this.last - breaks;
  }
}

function textOf(sample: Buffer, whole: boolean): string {
  if (sample.length === 0) throw new ImportFileError('the file is empty');
  const start = sample.subarray(0, 4).toString('latin1');
  if (start.startsWith('\u00ff\u00fe') || start.startsWith('\u00fe\u00ff')) {
    throw new ImportFileError('the file is UTF-16 text: save it as CSV in UTF-8');
  }
  if (start === 'PK\u0003\u0004') throw new ImportFileError('the file is a spreadsheet or an archive: save the sheet as CSV in UTF-8');
  if (sample.includes(0)) throw new ImportFileError('the file is not text: a CSV file in UTF-8 is needed');
  try {
    return new TextDecoder('utf-8', { fatal: true }).decode(sample, { stream: !whole });
  } catch {
    throw new ImportFileError('the file is not UTF-8 text: save it as CSV in UTF-8');
  }
}

/** The delimiter that parts the first line into most cells; a comma where none does. */
function delimiterOf(firstLine: string): string {
  const outside = firstLine.replace(/"(?:[^"]|"")*"/g, '');
  const counts = DELIMITERS.map((delimiter) => outside.split(delimiter).length);
  return DELIMITERS[counts.indexOf(Math.max(...counts))]!;
}

function upToLastLine(text: string): string {
  const end = text.lastIndexOf('\n');
  return end < 0 ? text : text.slice(0, end);
}

function rowsOf(text: string, delimiter: string): string[][] {
  try {
    return parseWhole(text, { ...optionsFor(delimiter), to: SAMPLE_LINES + 1 });
  } catch (error) {
    const code = (error as { code?: string }).code;
    if (code !== 'CSV_QUOTE_NOT_CLOSED' && code !== 'CSV_MAX_RECORD_SIZE') throw error;
    // The lines before it may still say what the file is; its reading will name the line.
    const firstLine = text.split(/\r\n|\n|\r/).find((line) => line.trim() !== '') ?? '';
    return [firstLine.replace(/^\ufeff/, '').split(delimiter).map((cell) => cell.replaceAll('"', ''))];
  }
}

function checkHeader(header: readonly string[]): void {
  const named = header.filter((name) => name !== '');
  if (named.length === 0) throw new ImportFileError('the first line holds no column names');
  if (named.some((name) => looksLikeInstant(name) || typeof parseWholeNumber(name) === 'number')) {
    throw new ImportFileError(`the first line must hold column names, and holds ${quoted(named.join(' '))}`);
  }
  if (header.length > MOST_COLUMNS) throw new ImportFileError(`the file has ${header.length} columns, more than ${MOST_COLUMNS}`);
  const twice = named.find((name, index) => named.indexOf(name) !== index);
  if (twice !== undefined) throw new ImportFileError(`the column ${quoted(twice)} stands twice in the first line`);
}
