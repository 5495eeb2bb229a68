import { repairTrend, type RepairHistory, type RepairTrend } from '@lintel/engine';
import { ImportFileError, readImportLines } from '@lintel/store';
import { Command } from 'commander';
import { inspectLocalFile } from '../duty/fileSample.js';
import { InputError } from '../inputError.js';

const COLUMNS = ['unit', 'at', 'end'] as const;
/** Decimal numbers with a point; no blanks inside, no hexadecimal, no Infinity. */
const NUMBER = /^\+?(?:\d+\.?\d*|\.\d+)(?:e[+-]?\d+)?$/i;

/** `lintel trend FILE.csv [--json]`. */
export function trendCommand(): Command {
  return new Command('trend')
    .description('from the times of repairs of one or more units: are they getting worse, steady, or getting better?')
    .argument('<file>', 'CSV with the columns unit,at,end: one row an event at its age, and the age up to which its unit was observed')
    .option('--json', 'print the answer as JSON')
    .addHelpText('after', '\nAges in any one unit: days, hours, cycles. A unit without an event is one row with an empty at.' +
      '\n\nExample:\n  npx lintel trend repairs.csv --json')
    .action(async (file: string, options: { json?: true }) => {
      const histories = await readHistories(file);
      const trend = repairTrend(histories);
      const { laplace, pValue, shape, intensityScale, verdict } = trend;
      process.stdout.write(options.json ? `${JSON.stringify({ laplace, pValue, shape, intensityScale, verdict })}\n` : trendText(trend, histories.length));
    });
}

interface Row {
  unit: string;
  /** Null: the unit's row of no event. */
  at: number | null;
  end: number;
}

/** @throws InputError naming the line and column of the first cell that cannot be read. */
async function readHistories(file: string): Promise<RepairHistory[]> {
  const { delimiter, header, open } = await inspectLocalFile('faults', file);
  const names = header.map((name) => name.trim().toLowerCase());
  for (const column of COLUMNS) {
    if (names.filter((name) => name === column).length !== 1) {
      throw new InputError(`${file}: line 1: needs one column '${column}'; the file has ${header.join(', ')}`);
    }
  }
  const units = new Map<string, { events: number[]; end: number }>();
  try {
    for await (const { line, cells } of readImportLines(open(), delimiter)) {
      if (cells.length !== header.length) throw new InputError(`${file}: line ${line}: has ${cells.length} cells, the header has ${header.length}`);
      const row = readRow(`${file}: line ${line}`, (column) => (cells[names.indexOf(column)] ?? '').trim());
      const known = units.get(row.unit) ?? { events: [], end: row.end };
      if (known.end !== row.end) throw new InputError(`${file}: line ${line}: end: must be ${known.end} as before for unit ${row.unit}, is ${row.end}`);
      if (row.at !== null) known.events.push(row.at);
      units.set(row.unit, known);
    }
  } catch (error) {
    throw error instanceof ImportFileError ? new InputError(`${file}: ${error.message}`) : error;
  }
  if (units.size === 0) throw new InputError(`${file}: line 2: there is no row below the header`);
  return [...units.values()];
}

function readRow(place: string, cell: (column: (typeof COLUMNS)[number]) => string): Row {
  const unit = cell('unit');
  if (unit === '') throw new InputError(`${place}: unit: is empty`);
  const end = numberOf(`${place}: end`, cell('end'));
  if (!(end > 0)) throw new InputError(`${place}: end: must be above 0, is ${end}`);
  if (cell('at') === '') return { unit, at: null, end };
  const at = numberOf(`${place}: at`, cell('at'));
  if (!(at > 0 && at <= end)) throw new InputError(`${place}: at: must be above 0 and up to the end ${end}, is ${at}`);
  return { unit, at, end };
}

function numberOf(place: string, text: string): number {
  const value = NUMBER.test(text) ? Number(text) : NaN;
  if (!Number.isFinite(value)) throw new InputError(`${place}: must be a number, is '${text.slice(0, 60).replace(/\p{Cc}/gu, '?')}'`);
  return value;
}

const sentences: Record<RepairTrend['verdict'], string> = {
  worse: 'getting worse: more and more often',
  steady: 'steady: no trend shows',
  better: 'getting better: less and less often',
  'too-little': 'too little to say',
};

function trendText({ verdict, events, laplace, pValue, shape, intensityScale }: RepairTrend, units: number): string {
  const lines = [`${sentences[verdict]} (${events} events of ${units} ${units === 1 ? 'unit' : 'units'})`];
  if (laplace !== null && pValue !== null) lines.push(`Laplace's z ${figures(laplace)}; a trend as strong by luck alone has a chance of ${figures(pValue)}`);
  if (shape !== null && intensityScale !== null) lines.push(`expected events of a unit by age t: (t / ${figures(intensityScale)})^${figures(shape)}`);
  return `${lines.join('\n')}\n`;
}

const figures = (value: number): string => String(Number(value.toPrecision(4)));
