import { defaultForceLimits } from '@lintel/engine';
import type { ForceLimitId, ForceLimitTable } from '@lintel/engine';
import { z } from 'zod';
import { civilDate, line } from '../shared/fields.js';

export const sourceStatus = z.enum(['read', 'second-hand', 'from-memory', 'common-practice']);
export type SourceStatusWord = z.infer<typeof sourceStatus>;

/** How a status reads. */
export const sourceStatusText: Record<SourceStatusWord, string> = {
  read: 'read in the source',
  'second-hand': 'second hand: confirm against the standard',
  'from-memory': 'from memory: confirm against the standard',
  'common-practice': "common practice: the maker's value comes first",
};

export const forceLimitId = z.enum(Object.keys(defaultForceLimits.rows) as [ForceLimitId, ...ForceLimitId[]]);

export const forceLimitRow = z.strictObject({
  value: z.number().positive(),
  unit: z.enum(['N', 'ms', 'mm', 'N/mm', 'Hz', '%', 'months', 'readings']),
  bound: z.enum(['most', 'least', 'exact']),
  source: line.min(1),
  status: sourceStatus,
}).meta({ id: 'ForceLimitRow' });

export const forceLimitChange = z.strictObject({
  row: forceLimitId,
  from: z.number(),
  to: z.number(),
  loosened: z.boolean(),
  reason: line,
  by: line.min(1),
  on: civilDate,
}).meta({ id: 'ForceLimitChange' });

/**
 * A version of the force limits. What makes it trustworthy is checked, not believed: units and bounds are those of the
 * program's own table, the present values follow from the changes one after the other, and none is looser without a reason.
 */
export const forceLimitTable = z.strictObject({
  name: line.min(1),
  version: z.int().min(1),
  rows: z.record(forceLimitId, forceLimitRow),
  changes: z.array(forceLimitChange).max(10_000),
}).superRefine((table, context) => {
  for (const { path, message } of tableFaults(table)) context.addIssue({ code: 'custom', path, message });
}).meta({ id: 'ForceLimitTable' });

/** What an administrator sends to change one value. */
export const forceLimitSet = z.strictObject({
  row: forceLimitId,
  value: z.number().positive(),
  reason: line.optional(),
}).meta({ id: 'ForceLimitSet' });
export type ForceLimitSet = z.infer<typeof forceLimitSet>;

function tableFaults(table: ForceLimitTable): { path: (string | number)[]; message: string }[] {
  const faults: { path: (string | number)[]; message: string }[] = [];
  const values = new Map<string, number>();
  for (const [id, own] of Object.entries(defaultForceLimits.rows)) {
    values.set(id, own.value);
    const row = table.rows[id as ForceLimitId];
    if (row.unit !== own.unit) faults.push({ path: ['rows', id, 'unit'], message: `must be '${own.unit}'` });
    if (row.bound !== own.bound) faults.push({ path: ['rows', id, 'bound'], message: `must be '${own.bound}'` });
  }
  for (const [index, { row, from, to, reason }] of table.changes.entries()) {
    const { bound } = defaultForceLimits.rows[row];
    const looser = bound === 'exact' || (bound === 'most' ? to > from : to < from);
    if (from !== values.get(row)) {
      faults.push({ path: ['changes', index, 'from'], message: `must be ${values.get(row)}, the value before this change` });
    }
    if (looser && reason === '') faults.push({ path: ['changes', index, 'reason'], message: 'is needed: the value is looser' });
    if (looser !== table.changes[index]!.loosened) {
      faults.push({ path: ['changes', index, 'loosened'], message: `must be ${looser}` });
    }
    values.set(row, to);
  }
  for (const [id, value] of values) {
    if (table.rows[id as ForceLimitId].value === value) continue;
    faults.push({ path: ['rows', id, 'value'], message: `must be ${value}, by the changes recorded` });
  }
  if (table.version !== table.changes.length + 1) {
    faults.push({ path: ['version'], message: `must be ${table.changes.length + 1}, one more than the changes` });
  }
  return faults;
}
