import { z } from 'zod';
import { partKind } from '../fleet/partKinds.js';
import { civilDate, id, instant, instantGiven, line, name, text, version } from '../shared/fields.js';
import { flag, type ListWords } from '../shared/list.js';
import { finding } from './finding.js';
import { workImage } from './image.js';
import { stepValue, workStep } from './step.js';
import { commandOutcome, mostOrdersAtOnce, workKind, workOrigin, workRefusal, workState, workTimeKind } from './words.js';

const orderFields = {
  id,
  /** Counts within the company. */
  number: z.int(),
  kind: workKind,
  state: workState,
  origin: workOrigin,
  doorId: id,
  doorName: z.string(),
  siteId: id,
  siteName: z.string(),
  timeZone: z.string(),
  ownerId: id,
  ownerName: z.string(),
  taskId: id.nullable(),
  taskName: z.string().nullable(),
  title: z.string(),
  instructions: z.string().nullable(),
  technicianId: id.nullable(),
  /** Names of people are null for an owner, who does not see them. */
  technicianName: z.string().nullable(),
  plannedOn: civilDate.nullable(),
  plannedStart: instant.nullable(),
  /** Not completed or cancelled, and its planned day has passed at the site. */
  overdue: z.boolean(),
  minutes: z.int(),
  skills: z.array(z.string()),
  parts: z.array(partKind),
  /** From completion on. */
  passed: z.boolean().nullable(),
  cancelReason: z.string().nullable(),
  createdAt: instant,
  createdById: id.nullable(),
  createdByName: z.string().nullable(),
  releasedAt: instant.nullable(),
  startedAt: instant.nullable(),
  completedAt: instant.nullable(),
  completedById: id.nullable(),
  completedByName: z.string().nullable(),
  reviewedAt: instant.nullable(),
  reviewedById: id.nullable(),
  reviewedByName: z.string().nullable(),
  cancelledAt: instant.nullable(),
  completionId: id.nullable(),
  stepCount: z.int(),
  answeredCount: z.int(),
  /** Contradicting answers that a person has to settle. */
  conflictCount: z.int(),
  findingCount: z.int(),
  version,
};

export const workOrder = z.object(orderFields).meta({ id: 'WorkOrder' });
export type WorkOrderRow = z.infer<typeof workOrder>;

/** An answer of a step. The last of a step that counts is its value. */
export const workAnswer = z.object({
  id,
  stepId: z.string(),
  value: stepValue,
  baseId: id.nullable(),
  settlesId: id.nullable(),
  /** False: it contradicts one that somebody else gave meanwhile. */
  counts: z.boolean(),
  accountId: id,
  accountName: z.string().nullable(),
  /** When the server had it; the order of these is the order of the answers. */
  at: instant,
  /** When the device says it was given. */
  deviceAt: instant.nullable(),
}).meta({ id: 'WorkAnswer' });
export type WorkAnswerRow = z.infer<typeof workAnswer>;

/** Two answers of one step that a person has to settle: by an answer with the contested one's id as `settlesId`. */
export const workConflict = z.object({ stepId: z.string(), standingId: id, contestedId: id }).meta({ id: 'WorkConflict' });

export const workTime = z.object({
  id, kind: workTimeKind, minutes: z.int(), startedAt: instant, accountId: id, accountName: z.string().nullable(),
}).meta({ id: 'WorkTime' });
export const workPart = z.object({
  id, kind: partKind, code: z.string().nullable(), name: z.string().nullable(), quantity: z.int(), positionId: id.nullable(),
}).meta({ id: 'WorkPart' });
export const workSignature = z.object({
  id, imageId: id, signerName: z.string(), at: instant, deviceAt: instant.nullable(), accountId: id,
}).meta({ id: 'WorkSignature' });

/** What a device sent that could not be done, kept whole. */
export const keptWork = z.object({
  id,
  accountId: id,
  accountName: z.string().nullable(),
  device: z.string(),
  madeAt: instant,
  receivedAt: instant,
  outcome: commandOutcome,
  command: z.unknown(),
  refusal: workRefusal.nullable(),
}).meta({ id: 'KeptWork' });
export type KeptWork = z.infer<typeof keptWork>;

/** An order with all that hangs on it. */
export const wholeWorkOrder = z.object({
  ...orderFields,
  steps: z.array(workStep),
  /** Positions of the safety devices at release. */
  devices: z.array(id),
  answers: z.array(workAnswer),
  conflicts: z.array(workConflict),
  findings: z.array(finding),
  /** Findings that this order is to test again, or to put right. */
  retests: z.array(finding),
  puts: z.array(finding),
  images: z.array(workImage),
  signatures: z.array(workSignature),
  times: z.array(workTime),
  usedParts: z.array(workPart),
  keptWork: z.array(keptWork),
}).meta({ id: 'WholeWorkOrder' });
export type WholeWorkOrder = z.infer<typeof wholeWorkOrder>;

const planned = {
  technicianId: id.nullable().optional(),
  plannedOn: civilDate.nullable().optional(),
  plannedStart: instantGiven.nullable().optional(),
};
const described = {
  title: name.optional(),
  instructions: text.nullable().optional(),
  minutes: z.int().min(1).max(2880).optional(),
  skills: z.array(z.string().trim().min(1).max(60)).max(20).optional(),
  parts: z.array(partKind).max(50).optional(),
};

/** From a due item (`doorId`, `taskId`), from a finding (`findingId`), or by hand (`doorId`, `kind`, `title`). */
export const workOrderCreate = z.strictObject({
  doorId: id.optional(),
  taskId: id.optional(),
  findingId: id.optional(),
  kind: workKind.optional(),
  ...described,
  ...planned,
}).meta({ id: 'WorkOrderCreate' });
export type WorkOrderCreate = z.infer<typeof workOrderCreate>;

export const workOrdersFromDue = z.strictObject({
  items: z.array(z.strictObject({ doorId: id, taskId: id })).min(1).max(mostOrdersAtOnce),
  ...planned,
}).meta({ id: 'WorkOrdersFromDue' });
export type WorkOrdersFromDue = z.infer<typeof workOrdersFromDue>;

/** Kind, door, task and, once released, steps stay; minutes, too, may change until it is completed. */
export const workOrderChange = z.strictObject({
  title: described.title, instructions: described.instructions, minutes: described.minutes, ...planned,
}).meta({ id: 'WorkOrderChange' });
export type WorkOrderChange = z.infer<typeof workOrderChange>;

export const workOrderIds = z.strictObject({ ids: z.array(id).min(1).max(mostOrdersAtOnce) }).meta({ id: 'WorkOrderIds' });
export type WorkOrderIds = z.infer<typeof workOrderIds>;

/** In the order asked: the order made or released, or why not. */
export const workOrderResults = z.object({
  results: z.array(z.object({ id: id.nullable(), number: z.int().nullable(), refusal: workRefusal.nullable() })),
}).meta({ id: 'WorkOrderResults' });
export type WorkOrderResults = z.infer<typeof workOrderResults>;

export const workCancel = z.strictObject({ reason: line.min(1) }).meta({ id: 'WorkCancel' });
export type WorkCancel = z.infer<typeof workCancel>;

export const workOrderList: ListWords = {
  filters: {
    id, number: z.coerce.number<string>().int(), state: workState, kind: workKind, origin: workOrigin, doorId: id, siteId: id, ownerId: id, technicianId: id, taskId: id,
    passed: flag, conflicted: flag, assigned: flag, overdue: flag,
    /** Has a planned day. */
    dated: flag,
  },
  ranges: { plannedOn: 'date', completedAt: 'instant', createdAt: 'instant' },
  sorts: [
    'number', 'state', 'kind', 'title', 'doorName', 'siteName', 'ownerName', 'technicianName', 'plannedOn', 'plannedStart', 'minutes',
    'createdAt', 'completedAt',
  ],
  defaultSort: '-number',
  search: true,
};
