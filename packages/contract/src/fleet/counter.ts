import { z } from 'zod';
import { cycles, id, instant, instantGiven, name, version } from '../shared/fields.js';
import { flag, type ListWords } from '../shared/list.js';

export const counter = z.object({
  id,
  doorId: id,
  doorName: z.string(),
  name: z.string(),
  fittedAt: instant,
  removedAt: instant.nullable(),
  /** Whether it is on the door now. */
  fitted: z.boolean(),
  /** Value at which it rolls over to 0; null: not known. */
  modulus: cycles.nullable(),
  startCycles: cycles.nullable(),
  startValue: cycles.nullable(),
  version,
}).meta({ id: 'Counter' });
export type Counter = z.infer<typeof counter>;

const fields = {
  doorId: id,
  name: name.optional(),
  fittedAt: instantGiven,
  modulus: cycles.min(2).nullable().optional(),
  startCycles: cycles.nullable().optional(),
  startValue: cycles.nullable().optional(),
};
export const counterCreate = z.strictObject(fields).meta({ id: 'CounterCreate' });
export const counterChange = z.strictObject(fields).omit({ doorId: true }).partial().meta({ id: 'CounterChange' });
export const counterRemove = z.strictObject({ at: instantGiven }).meta({ id: 'CounterRemove' });
export type CounterCreate = z.infer<typeof counterCreate>;
export type CounterChange = z.infer<typeof counterChange>;
export type CounterRemove = z.infer<typeof counterRemove>;

export const counterList: ListWords = {
  filters: { id, doorId: id, fitted: flag },
  ranges: { fittedAt: 'instant' },
  sorts: ['fittedAt', 'name', 'doorName'],
  defaultSort: '-fittedAt',
  search: false,
};
