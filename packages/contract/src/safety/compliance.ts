import { z } from 'zod';
import { doorState } from '../fleet/door.js';
import { civilDate, id } from '../shared/fields.js';
import { flag } from '../shared/list.js';

/** What is looked at: each kind of safety device, and the closing force. The columns of the matrix, in this order. */
export const complianceDevice = z.enum([
  'light-beam', 'bottom-edge', 'closing-force', 'slack-switch', 'emergency-stop', 'activation', 'warning', 'supply-isolator', 'other',
]);
export type ComplianceDevice = z.infer<typeof complianceDevice>;

/**
 * Worst first. `overdue`: a safety task that tests it is past its latest date; `failed`: its last test was not passed;
 * `not-planned`: no safety task stands for it; `due-soon`: within 30 days; `in-date`.
 */
export const complianceState = z.enum(['overdue', 'failed', 'not-planned', 'due-soon', 'in-date']);
export type ComplianceStateWord = z.infer<typeof complianceState>;
export const complianceSoonDays = 30;

const cell = {
  /** The last test; at a site that of the door which was tested longest ago. Null: none is on record (at a site: of some door). */
  lastOn: civilDate.nullable(),
  /** The latest date of the next test; at a site the earliest of its doors. */
  nextOn: civilDate.nullable(),
  state: complianceState,
};

/** One kind of device at one site, over all its doors that have one. */
export const siteCell = z.object({
  device: complianceDevice,
  ...cell,
  doors: z.int(),
  doorsOverdue: z.int(),
  /** Doors without any test on record. */
  doorsUntested: z.int(),
}).meta({ id: 'ComplianceSiteCell' });

export const doorCell = z.object({ device: complianceDevice, ...cell }).meta({ id: 'ComplianceDoorCell' });
export type ComplianceDoorCell = z.infer<typeof doorCell>;

export const complianceSite = z.object({
  siteId: id,
  siteName: z.string(),
  ownerId: id,
  ownerName: z.string(),
  doors: z.int(),
  /** That of its worst cell. */
  state: complianceState,
  doorsOverdue: z.int(),
  cells: z.array(siteCell),
}).meta({ id: 'ComplianceSite' });
export type ComplianceSite = z.infer<typeof complianceSite>;
export type ComplianceSiteCell = ComplianceSite['cells'][number];

/** Most sites of a matrix in one answer, the worst first. */
export const mostComplianceSites = 500;

const ids = z.string().max(4000).transform((text, context): string[] => {
  const words = text.split(',').map((word) => word.toLowerCase());
  if (words.some((word) => !id.safeParse(word).success)) context.addIssue('is not an id');
  if (words.length > 100) context.addIssue('at most 100 values');
  return words;
});

export const complianceQuery = z.strictObject({
  ownerId: ids.optional(),
  siteId: ids.optional(),
  /** `true`: only sites (in the export: lines) with something overdue. */
  overdue: flag.optional(),
}).meta({ id: 'ComplianceQuery' });
export type ComplianceQuery = z.infer<typeof complianceQuery>;

export const compliance = z.object({
  /** The worst first; then by name. */
  sites: z.array(complianceSite),
  /** More sites than fit into one answer. */
  more: z.boolean(),
  /** Sites by the state of their worst cell, of all that were asked for. */
  totals: z.record(complianceState, z.int()),
}).meta({ id: 'Compliance' });
export type Compliance = z.infer<typeof compliance>;

export const complianceDoors = z.object({
  siteId: id,
  siteName: z.string(),
  doors: z.array(z.object({
    doorId: id,
    doorName: z.string(),
    doorState,
    state: complianceState,
    cells: z.array(doorCell),
  })),
}).meta({ id: 'ComplianceDoors' });
export type ComplianceDoors = z.infer<typeof complianceDoors>;
