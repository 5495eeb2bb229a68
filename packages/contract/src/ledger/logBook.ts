import { z } from 'zod';
import { removalReason } from '../fleet/fittedPart.js';
import { civilDate, cycles, instant } from '../shared/fields.js';
import { door } from '../fleet/door.js';

/**
 * What a line of a door's log book is about. After EN 12635's annex, in our own words and from memory (not checked against its text): installation and handover, each inspection,
 * maintenance, repair, change of a part, modification, and defects with what was done about them.
 */
export const logBookKind = z.enum([
  'installation', 'handover', 'inspection', 'maintenance', 'repair', 'part-changed', 'part-fitted', 'part-removed', 'counter', 'modification',
  'state', 'finding', 'overdue', 'certificate', 'measurement', 'reading-overruled',
]);
export type LogBookKind = z.infer<typeof logBookKind>;

export const logBookEntry = z.object({
  /** Kind of record and its id. */
  key: z.string(),
  kind: logBookKind,
  at: instant,
  /** The day in the site's calendar. */
  on: civilDate,
  /** What it was done on or about: a task, a part, an order's title, a state. */
  what: z.string(),
  /** Null where nothing was judged. */
  passed: z.boolean().nullable(),
  reason: removalReason.nullable(),
  /** What was wrong, in the finder's words or as the fault's code. */
  defect: z.string().nullable(),
  severity: z.enum(['note', 'defect', 'unsafe']).nullable(),
  /** What was done about it. */
  remedy: z.string().nullable(),
  note: z.string().nullable(),
  /** Parts used, by kind. */
  parts: z.array(z.object({ name: z.string(), quantity: z.int() })),
  /** Safety devices tested and force tests at an order; null: none. */
  tests: z.object({ devices: z.int(), devicesFailed: z.int(), forces: z.int(), forcesFailed: z.int() }).nullable(),
  cycles: cycles.nullable(),
  person: z.string().nullable(),
  /** Who signed, beside the person who did it. */
  signers: z.array(z.string()),
  orderNumber: z.int().nullable(),
  /** When it was written down; null: not kept. */
  recordedAt: instant.nullable(),
});
export type LogBookEntry = z.infer<typeof logBookEntry>;

export const logBook = z.object({
  companyName: z.string(),
  door: door.pick({
    id: true, name: true, serial: true, siteName: true, ownerName: true, timeZone: true, doorTypeName: true, kind: true, heated: true, fromZoneName: true,
    toZoneName: true, widthMm: true, heightMm: true, installedOn: true, maker: true, installer: true, state: true, stateReason: true, stateSince: true, lifetimeCycles: true, notes: true,
  }),
  address: z.string().nullable(),
  countryCode: z.string(),
  supplyVolts: z.int(),
  doorTypeNotes: z.string().nullable(),
  /** What hangs in its positions now. */
  fitted: z.array(z.object({ position: z.string(), safetyDevice: z.boolean(), serial: z.string().nullable(), fittedOn: civilDate })),
  entries: z.array(logBookEntry),
  /** Older entries that are not in this answer. */
  leftOut: z.int(),
}).meta({ id: 'LogBook' });
export type LogBook = z.infer<typeof logBook>;

/** A log book answers no more entries; the newest of them. */
export const mostLogBookEntries = 5_000;

export const logBookWords: Record<LogBookKind, string> = {
  installation: 'Installation',
  handover: 'Handover',
  inspection: 'Inspection',
  maintenance: 'Maintenance',
  repair: 'Repair',
  'part-changed': 'Part changed',
  'part-fitted': 'Part fitted',
  'part-removed': 'Part taken out',
  counter: 'Counter',
  modification: 'Modification',
  state: 'State',
  finding: 'Defect found',
  overdue: 'Overdue',
  certificate: 'Certificate',
  measurement: 'Measurement',
  'reading-overruled': 'Reading overruled',
};

const reasonWords: Record<z.infer<typeof removalReason>, string> = {
  failed: 'it had failed', worn: 'it was worn', preventive: 'changed before its end', damaged: 'it was damaged', upgraded: 'exchanged for a better one',
  'entered-in-error': 'entered in error',
};
const severityWords = { note: 'note', defect: 'defect', unsafe: 'UNSAFE' } as const;

/** What an entry says beside its kind, day and person: one sentence or several, the same on the page, in print and in the file. */
export function logBookText(entry: LogBookEntry): string {
  const { what, passed, reason, severity, tests, note } = entry;
  const said = [
    passed === null ? what : `${what}: ${passed ? 'passed' : 'NOT PASSED'}`,
    reason === null ? '' : reasonWords[reason],
    severity === null ? '' : `severity: ${severityWords[severity]}`,
    tests === null ? '' : testText(tests),
    entry.parts.length === 0 ? '' : `parts used: ${entry.parts.map(({ name, quantity }) => `${quantity} × ${name}`).join(', ')}`,
    note ?? '',
    entry.signers.length === 0 ? '' : `signed by ${entry.signers.join(', ')}`,
  ];
  return said.filter((part) => part !== '').join('; ');
}

/** What was wrong and what was done about it; empty where nothing was. */
export function logBookDefect({ defect, remedy }: LogBookEntry): string {
  if (defect === null) return remedy ?? '';
  return remedy === null ? defect : `${defect} → ${remedy}`;
}

function testText({ devices, devicesFailed, forces, forcesFailed }: NonNullable<LogBookEntry['tests']>): string {
  const of = (count: number, failed: number): string => (failed === 0 ? `${count} passed` : `${failed} of ${count} NOT PASSED`);
  return [
    devices === 0 ? '' : `safety devices tested: ${of(devices, devicesFailed)}`,
    forces === 0 ? '' : `closing force tested: ${of(forces, forcesFailed)}`,
  ].filter((part) => part !== '').join('; ');
}
