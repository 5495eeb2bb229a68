import { z } from 'zod';
import { id, instant, name, version } from '../shared/fields.js';
import { flag, type ListWords } from '../shared/list.js';

export const plan = z.object({
  id,
  doorTypeId: id,
  doorTypeName: z.string(),
  name: z.string(),
  tasks: z.int(),
  archived: z.boolean(),
  archivedAt: instant.nullable(),
  version,
}).meta({ id: 'Plan' });
export type Plan = z.infer<typeof plan>;

export const planCreate = z.strictObject({ doorTypeId: id, name }).meta({ id: 'PlanCreate' });
export const planChange = z.strictObject({ name }).partial().meta({ id: 'PlanChange' });
export type PlanCreate = z.infer<typeof planCreate>;
export type PlanChange = z.infer<typeof planChange>;

export const planList: ListWords = {
  filters: { id, doorTypeId: id, archived: flag },
  ranges: {},
  sorts: ['name', 'doorTypeName', 'tasks'],
  defaultSort: 'name',
  search: true,
};
