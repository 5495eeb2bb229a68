import { z } from 'zod';
import { partKind } from '../fleet/partKinds.js';
import { checkedBy, civilDate, cycles, type FieldError, id, instant, line, name, version } from '../shared/fields.js';
import { flag, type ListWords } from '../shared/list.js';
import { checklistFaults } from './checklistFaults.js';

export const taskAnchor = z.enum(['completion', 'fixed']);

export const checklistStepKind = z.enum([
  'confirm', 'measure', 'choose', 'photograph', 'read-counter', 'test-device', 'force-test', 'fit-part', 'text',
]);

/**
 * One step of a checklist. Cautions come first, to be confirmed; a measured value has its unit and, where there are any, its limits.
 * A step at a position, or at each position of a kind of part (`partKind`), becomes one of each such position when an order is released.
 */
export const checklistStep = z.strictObject({
  kind: checklistStepKind,
  text: line.min(1),
  unit: z.string().max(20).optional(),
  lower: z.number().optional(),
  upper: z.number().optional(),
  resolution: z.number().positive().optional(),
  positionId: id.optional(),
  partKind: partKind.optional(),
  /** Of `choose`: what there is to choose from, and which of it fails. */
  options: z.array(line.min(1)).max(30).optional(),
  failing: z.array(line.min(1)).max(30).optional(),
  /** Confirmed before any other step. */
  caution: z.boolean().optional(),
  /** Failing it keeps the order from being passed. */
  safety: z.boolean().optional(),
  /** May be left unanswered. */
  optional: z.boolean().optional(),
  /** Of `photograph`: how many at least. */
  least: z.int().min(1).max(50).optional(),
}).meta({ id: 'ChecklistStep' });
export type ChecklistStep = z.infer<typeof checklistStep>;

export const task = z.object({
  id,
  planId: id,
  planName: z.string(),
  doorTypeId: id,
  doorTypeName: z.string(),
  name: z.string(),
  safety: z.boolean(),
  intervalCycles: cycles.nullable(),
  intervalMonths: z.int().nullable(),
  anchor: taskAnchor,
  fixedFrom: civilDate.nullable(),
  earlyDays: z.int(),
  graceDays: z.int(),
  minutes: z.int(),
  skills: z.array(z.string()),
  checklist: z.array(checklistStep),
  parts: z.array(partKind),
  source: z.string(),
  archived: z.boolean(),
  archivedAt: instant.nullable(),
  version,
}).meta({ id: 'Task' });
export type Task = z.infer<typeof task>;

export const taskFields = {
  planId: id,
  name,
  safety: z.boolean().optional(),
  intervalCycles: cycles.min(1).nullable().optional(),
  intervalMonths: z.int().min(1).max(240).nullable().optional(),
  anchor: taskAnchor.optional(),
  fixedFrom: civilDate.nullable().optional(),
  earlyDays: z.int().min(0).max(365).optional(),
  graceDays: z.int().min(0).max(365).optional(),
  minutes: z.int().min(1).max(2880),
  skills: z.array(z.string().trim().min(1).max(60)).max(20).optional(),
  checklist: z.array(checklistStep).max(200).superRefine((steps, context) => {
    for (const { index, field, message } of checklistFaults(steps)) context.addIssue({ code: 'custom', path: [index, field], message });
  }).optional(),
  parts: z.array(partKind).max(50).optional(),
  /** Where the interval comes from. */
  source: line.min(1),
};

interface TaskRuled {
  safety?: boolean | undefined;
  intervalCycles?: number | null | undefined;
  intervalMonths?: number | null | undefined;
  anchor?: string | undefined;
  fixedFrom?: string | null | undefined;
}

/** A task has at least one interval, a safety inspection months; one on fixed dates has months and a first date. */
export function taskRules(given: TaskRuled): FieldError[] {
  const errors: FieldError[] = [];
  if (given.intervalCycles == null && given.intervalMonths == null) {
    errors.push({ field: 'intervalMonths', message: 'an interval in months or in cycles is needed' });
  }
  // Cycles alone could leave an idle door unseen for ever.
  if (given.safety && given.intervalMonths == null && given.intervalCycles != null) {
    errors.push({ field: 'intervalMonths', message: 'is needed for a safety inspection' });
  }
  if (given.anchor === 'fixed' && given.fixedFrom == null) {
    errors.push({ field: 'fixedFrom', message: 'is needed where the months count from a fixed date' });
  }
  if (given.anchor === 'fixed' && given.intervalMonths == null) {
    errors.push({ field: 'intervalMonths', message: 'is needed where the months count from a fixed date' });
  }
  return errors;
}

export const taskCreate = z.strictObject(taskFields).superRefine(checkedBy<TaskRuled>(taskRules))
  .meta({ id: 'TaskCreate' });
export const taskChange = z.strictObject(taskFields).omit({ planId: true }).partial().meta({ id: 'TaskChange' });
export type TaskCreate = z.infer<typeof taskCreate>;
export type TaskChange = z.infer<typeof taskChange>;

export const taskList: ListWords = {
  filters: { id, planId: id, doorTypeId: id, safety: flag, archived: flag },
  ranges: {},
  sorts: ['name', 'planName', 'doorTypeName', 'safety', 'intervalMonths', 'intervalCycles', 'minutes'],
  defaultSort: 'name',
  search: true,
};
