import { logBookDefect, logBookText, logBookWords, type LogBook } from '@lintel/contract';
import { stringify } from 'csv-stringify/sync';

/** The log book's entries as CSV (RFC 4180, UTF-8 with its mark, so that spreadsheets know it), oldest first. */
export function logBookSheet({ door, entries }: LogBook): string {
  const rows = entries.map((entry) => ({
    day: entry.on, at: entry.at, kind: logBookWords[entry.kind], what: logBookText(entry), defect_and_remedy: logBookDefect(entry),
    passed: entry.passed === null ? '' : entry.passed ? 'yes' : 'no', severity: entry.severity ?? '', cycles: entry.cycles ?? '', person: entry.person ?? '',
    order: entry.orderNumber ?? '', recorded_at: entry.recordedAt ?? '', site: door.siteName, door: door.name, serial: door.serial ?? '', record: entry.key,
  }));
  // What begins like a formula is text all the same: a spreadsheet must not compute what somebody wrote.
  return stringify(rows, { header: true, bom: true, record_delimiter: 'windows', escape_formulas: true });
}
