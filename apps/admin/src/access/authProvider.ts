import { may } from '@lintel/contract';
import type { Resource, SignedIn } from '@lintel/contract';
import { HttpError } from 'react-admin';
import type { AuthProvider } from 'react-admin';
import { ask } from './http.js';

export type SignedInAccount = SignedIn['account'];

let account: SignedInAccount | null = null;

async function currentAccount(): Promise<SignedInAccount> {
  account ??= (await ask<SignedIn>('/session')).data.account;
  return account;
}

/** Sign-in by session cookie: nothing about it is kept in the browser's storage. */
export const authProvider: AuthProvider = {
  async login({ email, password }: { email: string; password: string }) {
    account = (await ask<SignedIn>('/session', { method: 'POST', body: { email, password } })).data.account;
  },
  async logout() {
    const was = account;
    account = null;
    if (was) await ask('/session', { method: 'DELETE' }).catch(() => undefined);
  },
  async checkAuth() {
    try {
      await currentAccount();
    } catch (error) {
      // Without a network the session may well be good: let the page show its offline face.
      if (error instanceof HttpError && error.status !== 401) return;
      throw error;
    }
  },
  async checkError(error: unknown) {
    if (error instanceof HttpError && error.status === 401) {
      account = null;
      throw error;
    }
  },
  async getIdentity() {
    const { id, name, ...rest } = await currentAccount();
    return { id, fullName: name, name, ...rest };
  },
  async getPermissions() {
    return (await currentAccount()).role;
  },
  async canAccess({ resource, action }) {
    const { role } = await currentAccount();
    return may(role, ['list', 'show', 'read'].includes(action) ? 'read' : 'write', resource as Resource);
  },
};
