import { importFields, type ImportKind, type ImportMapping } from '@lintel/contract';
import { dateOrderOf, looksLikeInstant } from './importInstant.js';
import { parseWholeNumber } from './importNumber.js';

/** Names that foreign files give our fields, without blanks and signs, lower case. The field's own name always counts. */
const commonSynonyms: Record<string, readonly string[]> = {
  doorId: ['doorid', 'doorguid', 'dooruuid'],
  serial: ['serial', 'serialno', 'serialnumber', 'doorserial', 'doorserialno', 'doorserialnumber', 'sn', 'seriennummer'],
  door: ['door', 'doorname', 'doorno', 'doornumber', 'doortag', 'tag', 'asset', 'tor', 'port', 'porte'],
  site: ['site', 'sitename', 'location', 'plant', 'warehouse', 'facility', 'building', 'standort'],
};

const synonyms: Record<ImportKind, Record<string, readonly string[]>> = {
  readings: {
    ...commonSynonyms,
    at: ['at', 'readat', 'readingat', 'timestamp', 'time', 'date', 'datetime', 'readingdate', 'readdate', 'when', 'ts', 'datum', 'zeit'],
    value: ['value', 'reading', 'count', 'cycles', 'cyclecount', 'cyclecounter', 'countervalue', 'counterreading', 'total', 'operations', 'zyklen'],
    counter: ['counter', 'countername', 'meter'],
  },
  doors: {
    site: commonSynonyms['site']!,
    serial: commonSynonyms['serial']!,
    owner: ['owner', 'ownername', 'customer', 'client', 'kunde'],
    name: ['name', ...commonSynonyms['door']!],
    doorType: ['doortype', 'type', 'model', 'typename', 'build'],
    fromZone: ['fromzone', 'from', 'fromroom', 'zonefrom', 'inside', 'zone1'],
    toZone: ['tozone', 'to', 'toroom', 'zoneto', 'outside', 'zone2'],
    widthMm: ['widthmm', 'width', 'clearwidth', 'clearwidthmm'],
    heightMm: ['heightmm', 'height', 'clearheight', 'clearheightmm'],
    installedOn: ['installedon', 'installed', 'installationdate', 'installdate', 'dateinstalled', 'inservicesince'],
    maker: ['maker', 'madeby', 'manufacturer', 'doormaker', 'hersteller', 'fabricant'],
    installer: ['installer', 'installedby', 'erector', 'erectedby', 'monteur'],
    modulus: ['modulus', 'counterrollover', 'rollsoverat', 'rolloverat'],
    startCycles: ['startcycles', 'cyclesatstart', 'initialcycles'],
    notes: ['notes', 'note', 'remarks', 'comment', 'comments'],
  },
  parts: {
    ...commonSynonyms,
    position: ['position', 'part', 'partname', 'partkind', 'component', 'kind'],
    partSerial: ['partserial', 'partserialno', 'partserialnumber', 'componentserial'],
    fittedAt: ['fittedat', 'fitted', 'fittedon', 'datefitted', 'partinstalled', 'replacedon', 'fitdate'],
    fittedCycles: ['fittedcycles', 'cyclesatfitting', 'cyclesfitted', 'cycleswhenfitted'],
    ageAtFitting: ['ageatfitting', 'age', 'usedcycles', 'initialage'],
    removedAt: ['removedat', 'removed', 'removedon', 'dateremoved', 'removaldate'],
    removedCycles: ['removedcycles', 'cyclesatremoval', 'cyclesremoved', 'cycleswhenremoved'],
    removalReason: ['removalreason', 'reason', 'reasonforremoval', 'whyremoved'],
    note: ['note', 'notes', 'remarks', 'comment', 'comments'],
  },
  faults: {
    ...commonSynonyms,
    at: ['at', 'faultat', 'timestamp', 'time', 'date', 'datetime', 'faultdate', 'occurredat', 'when', 'ts', 'datum', 'zeit'],
    code: ['code', 'faultcode', 'fault', 'error', 'errorcode', 'alarm', 'alarmcode', 'fehler', 'fehlercode'],
    lifetimeCycles: ['lifetimecycles', 'cycles', 'cyclecount', 'cyclesthen', 'zyklen'],
    note: ['note', 'notes', 'remarks', 'comment', 'comments'],
  },
};

const UUID = /^[0-9a-f]{8}-[0-9a-f]{4}-[0-9a-f]{4}-[0-9a-f]{4}-[0-9a-f]{12}$/i;

const plain = (name: string): string => name.toLowerCase().replace(/[^\p{L}\p{N}]/gu, '');

/**
 * Which column of a foreign file is which of our fields, guessed from the names, and where those say nothing from what the
 * columns hold. A guess for a person to look over; a column is given to one field at most.
 * @param samples some lines of the file, as cells.
 */
export function suggestMapping(
  kind: ImportKind,
  header: readonly string[],
  samples: readonly (readonly string[])[],
): ImportMapping {
  const columns: Record<string, string> = {};
  const free = new Set(header.map((_name, index) => index).filter((index) => header[index] !== ''));
  const take = (field: string, index: number | undefined): void => {
    if (index === undefined || columns[field] !== undefined) return;
    columns[field] = header[index]!;
    free.delete(index);
  };
  for (const [field, names] of Object.entries(synonyms[kind])) {
    const known = new Set([plain(field), ...names]);
    take(field, [...free].find((index) => known.has(plain(header[index]!))));
  }
  const onlyOne = (fits: (cell: string) => boolean): number | undefined => {
    const found = [...free].filter((index) => {
      const cells = samples.map((cells) => cells[index]?.trim() ?? '').filter((cell) => cell !== '');
      return cells.length > 0 && cells.every(fits);
    });
    return found.length === 1 ? found[0] : undefined;
  };
  if (kind !== 'doors') {
    moveDoorColumn(columns, header, samples);
    if (columns['serial'] === undefined && columns['door'] === undefined) take('doorId', onlyOne((cell) => UUID.test(cell)));
  }
  if (kind === 'faults') take('at', onlyOne(looksLikeInstant));
  if (kind === 'readings') {
    take('at', onlyOne(looksLikeInstant));
    take('value', onlyOne((cell) => typeof parseWholeNumber(cell) === 'number'));
  }
  const dated = ['at', 'installedOn', 'fittedAt', 'removedAt'].map((field) => header.indexOf(columns[field] ?? '\u0000'));
  const order = dateOrderOf(samples.flatMap((cells) => dated.map((index) => cells[index]?.trim() ?? '')));
  return order === null || order === 'year-month-day' ? { columns } : { columns, dateOrder: order };
}

/** A column called 'door' in a file that names no site holds ids or serials. */
function moveDoorColumn(columns: Record<string, string>, header: readonly string[], samples: readonly (readonly string[])[]): void {
  const door = columns['door'];
  if (door === undefined || columns['site'] !== undefined) return;
  const index = header.indexOf(door);
  const cells = samples.map((cells) => cells[index]?.trim() ?? '').filter((cell) => cell !== '');
  const target = cells.length > 0 && cells.every((cell) => UUID.test(cell)) ? 'doorId' : 'serial';
  if (columns[target] !== undefined) return;
  columns[target] = door;
  delete columns['door'];
}

/** What a mapping lacks or gets wrong for a file with this header: one sentence, or null. */
export function mappingFault(kind: ImportKind, header: readonly string[], mapping: ImportMapping): string | null {
  const fields = importFields[kind];
  for (const [field, column] of Object.entries(mapping.columns)) {
    if (!fields.some((each) => each.field === field)) {
      return `there is no field ${field}; a file of ${kind} can bring ${fields.map((each) => each.field).join(', ')}`;
    }
    if (!header.includes(column)) return `the file has no column ${JSON.stringify(column)}; it has ${listed(header)}`;
  }
  const missing = fields.filter((each) => each.needed && mapping.columns[each.field] === undefined).map((each) => each.field);
  if (missing.length > 0) return `no column is known for ${missing.join(', ')}; the file has ${listed(header)}`;
  const has = (field: string): boolean => mapping.columns[field] !== undefined;
  if (kind !== 'doors' && !has('doorId') && !has('serial') && !(has('door') && has('site'))) {
    return `no column says which door: a serial, an id, or site and door; the file has ${listed(header)}`;
  }
  return null;
}

function listed(header: readonly string[]): string {
  const names = header.slice(0, 20).map((name) => JSON.stringify(name)).join(', ');
  return header.length > 20 ? `${names} and ${header.length - 20} more columns` : names;
}
