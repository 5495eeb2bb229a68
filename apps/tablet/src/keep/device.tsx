import type { WorkRefusal } from '@lintel/engine';
import { createContext, useCallback, useContext, useEffect, useState, useSyncExternalStore } from 'react';
import type { Account } from '../access/account.js';
import { afterPaint } from '../shell/afterPaint.js';
import { changed, onChange } from './changes.js';
import type { Database } from './database.js';
import { record, type ToRecord } from './outbox.js';
import type { Sender, SyncReport } from './sender.js';

/** What every page works with: who, the database on the device, and the way to the server. */
export interface Device {
  account: Account;
  database: Database;
  sender: Sender;
}

export const DeviceContext = createContext<Device | null>(null);

export function useDevice(): Device {
  const device = useContext(DeviceContext);
  if (!device) throw new Error('There is no device here.');
  return device;
}

export type Kept<T> = { kept: T; ready: true } | { kept: undefined; ready: false };

/** What the device keeps, read again at every change. `load` must be stable (`useCallback`). */
export function useKept<T>(load: (database: Database) => Promise<T>): Kept<T> {
  const { database } = useDevice();
  const [found, setFound] = useState<{ load: unknown; kept: T } | null>(null);
  useEffect(() => {
    let current = true;
    let newest = 0;
    const read = (): void => {
      const mine = ++newest;
      load(database).then(
        (kept) => current && mine === newest && setFound({ load, kept }),
        (error: unknown) => current && setFound(() => { throw error; }),
      );
    };
    read();
    const off = onChange(read);
    return () => {
      current = false;
      off();
    };
  }, [database, load]);
  return found && found.load === load ? { kept: found.kept, ready: true } : { kept: undefined, ready: false };
}

/** Records what was done: kept on the disk first, then shown, then sent. Answers the refusal where the rules refuse it. */
export function useRecord(): (given: ToRecord) => Promise<WorkRefusal | null> {
  const { account, database, sender } = useDevice();
  return useCallback(async (given) => {
    const outcome = await record(database, account, given);
    if ('refused' in outcome) return outcome;
    // It stands on the disk: what it leads to is shown first, everything else that follows from it in the frame after.
    afterPaint(() => {
      changed();
      sender.soon();
    });
    return null;
  }, [account, database, sender]);
}

export function useSync(): SyncReport {
  const { sender } = useDevice();
  return useSyncExternalStore(sender.subscribe, sender.current);
}
