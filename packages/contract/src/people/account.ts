import { z } from 'zod';
import { checkedBy, email, type FieldError, id, instant, name, version } from '../shared/fields.js';
import { flag, type ListWords } from '../shared/list.js';
import { role } from './roles.js';

export const account = z.object({
  id,
  email: z.string(),
  name: z.string(),
  role,
  ownerId: id.nullable(),
  ownerName: z.string().nullable(),
  active: z.boolean(),
  createdAt: instant,
  version,
}).meta({ id: 'Account' });
export type Account = z.infer<typeof account>;

export const shortestPassword = 10;

const fields = {
  email,
  name,
  role,
  ownerId: id.nullable().optional(),
  active: z.boolean().optional(),
  password: z.string().min(shortestPassword).max(200),
};

interface AccountRuled {
  role: string;
  ownerId?: string | null | undefined;
}

/** An account of a facility owner names its owner; any other must not. */
export function accountRules(given: AccountRuled): FieldError[] {
  if (given.role === 'owner' && !given.ownerId) return [{ field: 'ownerId', message: 'is needed for role owner' }];
  if (given.role !== 'owner' && given.ownerId) return [{ field: 'ownerId', message: 'is for role owner alone' }];
  return [];
}

export const accountCreate = z.strictObject(fields).superRefine(checkedBy<AccountRuled>(accountRules)).meta({ id: 'AccountCreate' });
export const accountChange = z.strictObject(fields).partial().meta({ id: 'AccountChange' });
export type AccountCreate = z.infer<typeof accountCreate>;
export type AccountChange = z.infer<typeof accountChange>;

export const accountList: ListWords = {
  filters: { id, role, ownerId: id, active: flag },
  ranges: {},
  sorts: ['name', 'email', 'role', 'createdAt'],
  defaultSort: 'name',
  search: true,
};

/** Names of colleagues, for everybody in the company. */
export const person = z.object({ id, name: z.string(), role, active: z.boolean() }).meta({ id: 'Person' });
export type Person = z.infer<typeof person>;

export const personList: ListWords = {
  filters: { id, role, active: flag },
  ranges: {},
  sorts: ['name', 'role'],
  defaultSort: 'name',
  search: true,
};
