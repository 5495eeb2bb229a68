import { ImportFileError, parseInstant, parseWholeNumber, readImportLines } from '@lintel/store';
import { InputError } from '../inputError.js';
import { inspectLocalFile } from './fileSample.js';

export interface CounterFile {
  readings: { line: number; at: number; value: number }[];
}

/**
 * The readings of one counter from a CSV file with the columns at and value.
 * @throws InputError naming the line and column of the first cell that cannot be read.
 */
export async function readCounterFile(file: string, timeZone: string): Promise<CounterFile> {
  const { delimiter, header, suggested, open } = await inspectLocalFile('readings', file);
  const columnOf = (field: 'at' | 'value'): number => {
    const index = header.indexOf(suggested.columns[field] ?? '\u0000');
    if (index < 0) throw new InputError(`${file}: line 1: there is no column ${field}; the file has ${header.join(', ')}`);
    return index;
  };
  const [atColumn, valueColumn] = [columnOf('at'), columnOf('value')];
  const readings: CounterFile['readings'] = [];
  try {
    for await (const { line, cells } of readImportLines(open(), delimiter)) {
      const fault = (column: number, reason: string): InputError => new InputError(`${file}: line ${line}: ${header[column]}: ${reason}`);
      const at = parseInstant((cells[atColumn] ?? '').trim(), suggested.dateOrder ?? 'year-month-day', timeZone);
      if (typeof at !== 'number') throw fault(atColumn, at.reason);
      const value = parseWholeNumber((cells[valueColumn] ?? '').trim());
      if (typeof value !== 'number') throw fault(valueColumn, value.reason);
      readings.push({ line, at, value });
    }
  } catch (error) {
    throw error instanceof ImportFileError ? new InputError(`${file}: ${error.message}`) : error;
  }
  if (readings.length === 0) throw new InputError(`${file}: holds no readings`);
  return { readings };
}
