import { z } from 'zod';
import { email, id, instant, line, name, version } from '../shared/fields.js';
import { flag, type ListWords } from '../shared/list.js';

export const owner = z.object({
  id,
  name: z.string(),
  contactName: z.string().nullable(),
  email: z.string().nullable(),
  phone: z.string().nullable(),
  sites: z.int(),
  doors: z.int(),
  archived: z.boolean(),
  archivedAt: instant.nullable(),
  version,
}).meta({ id: 'Owner' });
export type Owner = z.infer<typeof owner>;

const fields = {
  name,
  contactName: line.nullable().optional(),
  email: email.nullable().optional(),
  phone: line.nullable().optional(),
};
export const ownerCreate = z.strictObject(fields).meta({ id: 'OwnerCreate' });
export const ownerChange = z.strictObject(fields).partial().meta({ id: 'OwnerChange' });
export type OwnerCreate = z.infer<typeof ownerCreate>;
export type OwnerChange = z.infer<typeof ownerChange>;

export const ownerList: ListWords = {
  filters: { id, archived: flag },
  ranges: {},
  sorts: ['name', 'sites', 'doors'],
  defaultSort: 'name',
  search: true,
};
