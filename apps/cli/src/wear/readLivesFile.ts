import type { Lives } from '@lintel/engine';
import { ImportFileError, readImportLines } from '@lintel/store';
import { inspectLocalFile } from '../duty/fileSample.js';
import { InputError } from '../inputError.js';

const NUMBER = /^[+-]?(\d+\.?\d*|\.\d+)(e[+-]?\d+)?$/i;

/**
 * Lives from a CSV file with the columns age and event (1 failed, 0 still running) and, where parts were first seen at an age, entry.
 * @throws InputError naming the line and column of the first cell that cannot be used.
 */
export async function readLivesFile(file: string): Promise<Lives> {
  const { delimiter, header, open } = await inspectLocalFile('readings', file);
  const names = header.map((name) => name.trim().toLowerCase());
  const columns = { age: names.indexOf('age'), event: names.indexOf('event'), entry: names.indexOf('entry') };
  for (const name of ['age', 'event'] as const) {
    if (columns[name] < 0) throw new InputError(`${file}: line 1: there is no column ${name}; the file has ${header.join(', ')}`);
  }
  const [age, event, entry]: [number[], number[], number[]] = [[], [], []];
  try {
    for await (const { line, cells } of readImportLines(open(), delimiter)) {
      const life = lifeIn(cells, columns);
      if ('column' in life) throw new InputError(`${file}: line ${line}: ${life.column}: ${life.reason}`);
      age.push(life.age);
      event.push(life.event);
      entry.push(life.entry);
    }
  } catch (error) {
    throw error instanceof ImportFileError ? new InputError(`${file}: ${error.message}`) : error;
  }
  if (age.length === 0) throw new InputError(`${file}: holds no lives`);
  const lives: Lives = { age: Float64Array.from(age), event: Uint8Array.from(event) };
  return columns.entry < 0 ? lives : { ...lives, entry: Float64Array.from(entry) };
}

type Read = { age: number; event: number; entry: number } | { column: string; reason: string };

function lifeIn(cells: readonly string[], columns: Record<'age' | 'event' | 'entry', number>): Read {
  const text = (column: number): string => (cells[column] ?? '').trim();
  const said = (column: number): string => JSON.stringify(text(column).slice(0, 40));
  const age = numberOf(text(columns.age));
  if (age === null || age < 0) return { column: 'age', reason: `must be a number of at least 0, is ${said(columns.age)}` };
  const eventText = text(columns.event);
  if (eventText !== '0' && eventText !== '1') return { column: 'event', reason: `must be 1 (failed) or 0 (still running), is ${said(columns.event)}` };
  const event = Number(eventText);
  if (event === 1 && age === 0) return { column: 'age', reason: 'must be above 0 for a failure' };
  // An empty entry is that of a part which was seen from new.
  const entry = columns.entry < 0 || text(columns.entry) === '' ? 0 : numberOf(text(columns.entry));
  if (entry === null || entry < 0 || entry > age) return { column: 'entry', reason: `must be a number from 0 to the age, is ${said(columns.entry)}` };
  return { age, event, entry };
}

function numberOf(text: string): number | null {
  const value = NUMBER.test(text) ? Number(text) : NaN;
  return Number.isFinite(value) ? value : null;
}
