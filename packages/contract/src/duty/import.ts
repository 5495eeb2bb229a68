import { z } from 'zod';
import { cycles, id, instant, line, timeZone } from '../shared/fields.js';
import type { ListWords } from '../shared/list.js';

export const importKind = z.enum(['doors', 'readings', 'parts', 'faults']);
export type ImportKind = z.infer<typeof importKind>;

export const importState = z.enum(['uploading', 'uploaded', 'waiting', 'running', 'done', 'failed', 'cancelled']);
export type ImportState = z.infer<typeof importState>;

/** Order of day, month and year in dates such as 03/04/2026; ISO dates are read whatever it says. */
export const dateOrder = z.enum(['year-month-day', 'day-month-year', 'month-day-year']);

/** How a foreign file is read; remembered for the next file with the same header. */
export const importMapping = z.strictObject({
  /** Our field → the file's column, for the fields in `importFields`. */
  columns: z.record(z.string().max(60), z.string().max(200)),
  /** Zone of instants without an offset; left out: the zone of each door's site. */
  timeZone: timeZone.optional(),
  dateOrder: dateOrder.optional(),
  /** Value at which the counters roll over to 0, for counters that do not name their own. */
  modulus: cycles.min(2).optional(),
}).meta({ id: 'ImportMapping' });
export type ImportMapping = z.infer<typeof importMapping>;

export interface ImportField {
  field: string;
  needed: boolean;
  /** What the column holds, for the person who maps it. */
  holds: string;
}

/** The fields that a file of each kind can bring. */
export const importFields: Record<ImportKind, readonly ImportField[]> = {
  readings: [
    { field: 'doorId', needed: false, holds: 'id of the door; or its serial; or its name and site' },
    { field: 'serial', needed: false, holds: 'serial of the door' },
    { field: 'door', needed: false, holds: 'name of the door' },
    { field: 'site', needed: false, holds: 'name of the site' },
    { field: 'at', needed: true, holds: 'when the counter was read' },
    { field: 'value', needed: true, holds: 'what the counter showed' },
    { field: 'counter', needed: false, holds: 'name of the counter, where a door has several' },
  ],
  doors: [
    { field: 'owner', needed: false, holds: 'name of the owner, where two have a site of that name' },
    { field: 'site', needed: true, holds: 'name of the site' },
    { field: 'name', needed: true, holds: 'name of the door' },
    { field: 'doorType', needed: true, holds: 'name of the door type' },
    { field: 'serial', needed: false, holds: 'serial of the door' },
    { field: 'fromZone', needed: false, holds: 'name of the zone on one side' },
    { field: 'toZone', needed: false, holds: 'name of the zone on the other side' },
    { field: 'widthMm', needed: false, holds: 'width in millimetres; else that of the type' },
    { field: 'heightMm', needed: false, holds: 'height in millimetres; else that of the type' },
    { field: 'installedOn', needed: true, holds: 'date of installation' },
    { field: 'maker', needed: false, holds: 'who made the door, as on its plate' },
    { field: 'installer', needed: false, holds: 'who put it up' },
    { field: 'modulus', needed: false, holds: 'value at which its counter rolls over to 0' },
    { field: 'startCycles', needed: false, holds: 'lifetime cycles when its counter was fitted' },
    { field: 'notes', needed: false, holds: 'notes' },
  ],
  parts: [
    { field: 'doorId', needed: false, holds: 'id of the door; or its serial; or its name and site' },
    { field: 'serial', needed: false, holds: 'serial of the door' },
    { field: 'door', needed: false, holds: 'name of the door' },
    { field: 'site', needed: false, holds: 'name of the site' },
    { field: 'position', needed: true, holds: 'name of the position, or its kind of part' },
    { field: 'partSerial', needed: false, holds: 'serial of the part' },
    { field: 'fittedAt', needed: true, holds: 'when it was fitted' },
    { field: 'fittedCycles', needed: false, holds: 'lifetime cycles of the door at fitting' },
    { field: 'ageAtFitting', needed: false, holds: 'cycles that the part had already run' },
    { field: 'removedAt', needed: false, holds: 'when it was removed' },
    { field: 'removedCycles', needed: false, holds: 'lifetime cycles of the door at removal' },
    { field: 'removalReason', needed: false, holds: 'failed, worn, preventive, damaged, upgraded, entered-in-error' },
    { field: 'note', needed: false, holds: 'note' },
  ],
  faults: [
    { field: 'doorId', needed: false, holds: 'id of the door; or its serial; or its name and site' },
    { field: 'serial', needed: false, holds: 'serial of the door' },
    { field: 'door', needed: false, holds: 'name of the door' },
    { field: 'site', needed: false, holds: 'name of the site' },
    { field: 'at', needed: true, holds: 'when the door reported it' },
    { field: 'code', needed: true, holds: 'its code in the fault catalogue' },
    { field: 'lifetimeCycles', needed: false, holds: 'lifetime cycles of the door then' },
    { field: 'note', needed: false, holds: 'note' },
  ],
};

/** Named `fileImport` because `import` is a word of the language. */
export const fileImport = z.object({
  id,
  kind: importKind,
  fileName: z.string(),
  state: importState,
  header: z.array(z.string()),
  /** Chosen, or before the start suggested: remembered from the last file with this header, else guessed from the names. */
  mapping: importMapping.nullable(),
  sizeBytes: z.number(),
  readBytes: z.number(),
  lines: z.int(),
  accepted: z.int(),
  unchanged: z.int(),
  refused: z.int(),
  error: z.string().nullable(),
  cancelRequested: z.boolean(),
  accountId: id.nullable(),
  accountName: z.string().nullable(),
  createdAt: instant,
  startedAt: instant.nullable(),
  endedAt: instant.nullable(),
  version: z.int(),
}).meta({ id: 'Import' });
export type FileImport = z.infer<typeof fileImport>;

export const importUpload = z.strictObject({ kind: importKind, fileName: line.min(1) });
export type ImportUpload = z.infer<typeof importUpload>;

export const importStart = z.strictObject({ mapping: importMapping }).meta({ id: 'ImportStart' });
export type ImportStart = z.infer<typeof importStart>;

export const importList: ListWords = {
  filters: { id, kind: importKind, state: importState },
  ranges: { createdAt: 'instant' },
  sorts: ['createdAt', 'fileName', 'state'],
  defaultSort: '-createdAt',
  search: true,
};

/** A line that was refused, and why. */
export const importRefusal = z.object({
  line: z.int(),
  field: z.string(),
  reason: z.string(),
  excerpt: z.string(),
}).meta({ id: 'ImportRefusal' });
export type ImportRefusal = z.infer<typeof importRefusal>;

export const importRefusalList: ListWords = {
  filters: { field: z.string() },
  ranges: {},
  sorts: ['line', 'field'],
  defaultSort: 'line',
  search: false,
};
