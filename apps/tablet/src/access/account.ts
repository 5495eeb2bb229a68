import type { SignedIn } from '@lintel/contract';

export type Account = SignedIn['account'];

const key = 'lintel-tablet-account';

/** Who works with this device: remembered without a network. It opens nothing; the server asks for its own cookie. */
export function rememberedAccount(): Account | null {
  try {
    return JSON.parse(localStorage.getItem(key) ?? 'null') as Account | null;
  } catch {
    return null;
  }
}

export function rememberAccount(account: Account | null): void {
  if (account === null) localStorage.removeItem(key);
  else localStorage.setItem(key, JSON.stringify(account));
}
