import { parse } from 'csv-parse/browser/esm/sync';
import { type ForceCurve, MOST_FORCE_SAMPLES } from './forceCurve.js';

/** Decimal numbers with a point; no blanks inside, no hexadecimal, no Infinity. */
const NUMBER = /^[+-]?(?:\d+\.?\d*|\.\d+)(?:e[+-]?\d+)?$/i;

/** What is wrong with a force file, and in which line, from 1. */
export interface ForceFileFault {
  line: number;
  message: string;
}

interface Row {
  record: string[];
  info: { lines: number };
}

/**
 * Reads a force file: CSV with the columns `ms,newton` in either order under a header of these names; other columns are left
 * aside. A byte order mark, blank lines, quotes and blanks around a number are no matter.
 * @returns the curve, or the first fault with its line.
 */
export function readForceFile(content: string): { curve: ForceCurve } | ForceFileFault {
  const rows = readRows(content);
  if ('message' in rows) return rows;
  const [header, ...lines] = rows;
  if (!header) return { line: 1, message: "the file is empty; its first line must be 'ms,newton'" };
  const names = header.record.map((name) => name.toLowerCase());
  for (const name of ['ms', 'newton']) {
    if (names.filter((other) => other === name).length !== 1) {
      return { line: header.info.lines, message: `needs one column '${name}'; the header is '${shown(header.record.join(','))}'` };
    }
  }
  const columns = { ms: names.indexOf('ms'), newton: names.indexOf('newton') };
  const curve: ForceCurve = [];
  for (const { record, info } of lines) {
    const fault = (message: string): ForceFileFault => ({ line: info.lines, message });
    if (record.length !== names.length) return fault(`has ${record.length} cells, the header has ${names.length}`);
    const sample = { ms: numberOf(record[columns.ms]!), newton: numberOf(record[columns.newton]!) };
    for (const name of ['ms', 'newton'] as const) {
      if (sample[name] === undefined) return fault(`${name}: must be a number, is '${shown(record[columns[name]]!)}'`);
    }
    const before = curve.at(-1);
    if (before && sample.ms! <= before.ms) return fault(`ms: must be later than ${before.ms} before it, is ${sample.ms}`);
    if (curve.length === MOST_FORCE_SAMPLES) return fault(`more than ${MOST_FORCE_SAMPLES} samples`);
    curve.push({ ms: sample.ms!, newton: sample.newton! });
  }
  if (curve.length >= 2) return { curve };
  return { line: rows.at(-1)!.info.lines, message: `ends after ${curve.length} samples; a curve needs at least two` };
}

function readRows(content: string): Row[] | ForceFileFault {
  try {
    return parse(content, { bom: true, info: true, relax_column_count: true, skip_empty_lines: true, trim: true }) as unknown as Row[];
  } catch (error) {
    const { lines, code } = error as { lines?: number; code?: string };
    if (code === undefined) throw error;
    return { line: lines ?? 1, message: `is not CSV (${code.toLowerCase().replaceAll('_', ' ')})` };
  }
}

function numberOf(cell: string): number | undefined {
  const value = Number(cell);
  return NUMBER.test(cell) && Number.isFinite(value) ? value : undefined;
}

/** As much of a cell as an error line can hold: no line ends, nothing that steers a terminal. */
function shown(text: string): string {
  const plain = text.slice(0, 60).replace(/\p{Cc}/gu, '?');
  return text.length > 60 ? `${plain}…` : plain;
}
