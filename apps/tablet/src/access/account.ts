import type { SignedIn } from '@lintel/contract';
import { type DBSchema, type IDBPDatabase, openDB } from 'idb';
import { onDisk } from '../keep/database.js';

export type Account = SignedIn['account'];

interface About extends DBSchema {
  about: { key: 'account'; value: Account };
}

// Not in the browser's simple storage: that reaches the disk some time later, and a battery may end before.
let opened: Promise<IDBPDatabase<About>> | null = null;
function open(): Promise<IDBPDatabase<About>> {
  opened ??= openDB<About>('lintel-tablet', 1, { upgrade: (database) => void database.createObjectStore('about') });
  return opened;
}

/** Who works with this device: remembered without a network. It opens nothing; the server asks for its own cookie. */
export async function rememberedAccount(): Promise<Account | null> {
  return (await (await open()).get('about', 'account')) ?? null;
}

export async function rememberAccount(account: Account | null): Promise<void> {
  const writing = (await open()).transaction('about', 'readwrite', onDisk);
  await (account === null ? writing.store.delete('account') : writing.store.put(account, 'account'));
  await writing.done;
}
