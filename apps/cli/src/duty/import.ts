import { dateOrder, importFields, importKind, type ImportKind, type ImportMapping } from '@lintel/contract';
import { createImport, mappingFault, rememberedMapping, runImport, type CompanyContext, type Store } from '@lintel/store';
import { Command } from 'commander';
import { FailureError, InputError } from '../inputError.js';
import { wholeOption, zoneOption } from '../options.js';
import { chooseCompany, withHome } from '../withHome.js';
import { inspectLocalFile, type LocalFile } from './fileSample.js';
import { importText, type ImportReport } from './importText.js';

interface ImportOptions {
  company?: string;
  map?: string[];
  modulus?: string;
  timeZone?: string;
  dateOrder?: string;
  json?: true;
}

/** Refused lines that a report names; the import's own page names them all. */
const MOST_NAMED = 1_000;

/** `lintel import doors|readings|parts|faults FILE.csv`. */
export function importCommand(): Command {
  return new Command('import')
    .description('bring doors, counter readings, fitted parts or faults in from a CSV file; the same file twice changes nothing')
    .argument('<kind>', importKind.options.join(', '))
    .argument('<file>', 'CSV in UTF-8 with column names in its first line, parted by comma, semicolon or tab')
    .option('--company <name>', 'the company, by name or id; needed where there are several')
    .option('--map <field=column>', 'which column holds a field; may be given several times, is remembered for this header', gather)
    .option('--modulus <N>', 'value at which counters roll over to 0, for counters that do not name their own')
    .option('--time-zone <zone>', "IANA zone of times without one; otherwise the zone of each door's site")
    .option('--date-order <order>', `for dates such as 03/04/2026: ${dateOrder.options.join(', ')}`)
    .option('--json', 'print the report as JSON')
    .addHelpText('after', () => `\nFields:\n${fieldsText()}\n\nExample:\n  npx lintel import readings march.csv --map value="Cycle count" --time-zone Europe/Oslo` +
      '\n\nExit code 0: brought in, refused lines are named; 1: nothing could be brought in, or cancelled; 2: no such file of this kind.')
    .action(run);
}

const gather = (word: string, words: string[] = []): string[] => [...words, word];

const fieldsText = (): string =>
  importKind.options.map((kind) => `  ${kind}: ${importFields[kind].map(({ field, needed }) => (needed ? `${field} (needed)` : field)).join(', ')}`).join('\n');

async function run(kindWord: string, file: string, options: ImportOptions): Promise<void> {
  const kind = importKind.safeParse(kindWord);
  if (!kind.success) throw new InputError(`'${kindWord}' is none of ${importKind.options.join(', ')}`);
  const given = readMapping(options);
  const local = await inspectLocalFile(kind.data, file);
  const report = await withHome(async (opened) => {
    const context = await chooseCompany(opened, options.company);
    return bringIn(opened.store, context, kind.data, local, given);
  });
  process.stdout.write(options.json ? `${JSON.stringify(report)}\n` : importText(report));
  if (report.state === 'failed') throw new InputError(`${file}: ${report.error}`);
  if (report.state === 'cancelled') throw new FailureError('cancelled; the lines before stay');
  if (report.lines > 0 && report.refused === report.lines) throw new FailureError(`${file}: every line was refused`);
}

function readMapping(options: ImportOptions): ImportMapping {
  const columns: Record<string, string> = {};
  for (const word of options.map ?? []) {
    const parted = /^([^=]+)=(.+)$/.exec(word);
    if (parted === null) throw new InputError(`--map: must be field=column, is '${word}'`);
    columns[parted[1]!.trim()] = parted[2]!.trim();
  }
  const order = options.dateOrder === undefined ? undefined : dateOrder.safeParse(options.dateOrder);
  if (order?.success === false) throw new InputError(`--date-order: must be ${dateOrder.options.join(', ')}, is '${options.dateOrder}'`);
  return {
    columns,
    ...(options.modulus === undefined ? {} : { modulus: wholeOption('--modulus', options.modulus, 2) }),
    ...(options.timeZone === undefined ? {} : { timeZone: zoneOption('--time-zone', options.timeZone) }),
    ...(order === undefined ? {} : { dateOrder: order.data }),
  };
}

async function bringIn(store: Store, context: CompanyContext, kind: ImportKind, file: LocalFile, given: ImportMapping): Promise<ImportReport> {
  const importId = await store.withCompanySql(context, async (client) => {
    const known = (await rememberedMapping(client, context, kind, file.header)) ?? file.suggested;
    const mapping = { ...known, ...given, columns: { ...known.columns, ...given.columns } };
    const fault = mappingFault(kind, file.header, mapping);
    if (fault !== null) throw new InputError(`${file.name}: ${fault}; --map field=column says which is which`);
    return createImport(client, context, { kind, fileName: file.name, sizeBytes: file.sizeBytes, header: file.header, mapping });
  });
  let stopped = false;
  const stop = (): void => void (stopped = true);
  process.once('SIGINT', stop);
  const shown = process.stderr.isTTY;
  try {
    const result = await runImport(store, context, {
      importId,
      open: file.open,
      isCancelled: () => stopped,
      onProgress: ({ readBytes, lines }) => shown && process.stderr.write(`\r${lines} lines, ${Math.floor((100 * readBytes) / file.sizeBytes)} %`),
    });
    if (shown) process.stderr.write('\r\u001b[K');
    const refusals = await refusalsOf(store, context, importId);
    return { importId, kind, file: file.name, ...result, refusals, refusalsLeftOut: Math.max(0, result.refused - refusals.length) };
  } finally {
    process.removeListener('SIGINT', stop);
  }
}

async function refusalsOf(store: Store, context: CompanyContext, importId: string): Promise<ImportReport['refusals']> {
  const { rows } = await store.withCompanySql(context, (client) =>
    client.query<ImportReport['refusals'][number]>(
      'SELECT line, field, reason FROM import_refusal WHERE import_id = $1 ORDER BY line, field LIMIT $2', [importId, MOST_NAMED]));
  return rows;
}
