import { z } from 'zod';
import { id } from '../shared/fields.js';
import { role } from './roles.js';

export const signIn = z.strictObject({
  // Not checked as an address: a refusal must not tell a badly written one from an unknown one.
  email: z.string().trim().toLowerCase().min(1).max(254),
  password: z.string().min(1).max(200),
}).meta({ id: 'SignIn' });
export type SignIn = z.infer<typeof signIn>;

export const signedIn = z.object({
  account: z.object({
    id,
    name: z.string(),
    email: z.string(),
    role,
    ownerId: id.nullable(),
    companyId: id,
    companyName: z.string(),
  }),
}).meta({ id: 'SignedIn' });
export type SignedIn = z.infer<typeof signedIn>;
