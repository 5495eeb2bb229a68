import { useCallback, useEffect, useRef, useState } from 'react';
import type { Database } from './database.js';
import { useDevice } from './device.js';
import { keeping } from './storageFull.js';

/** `undefined`: still reading; `null`: there is none. */
export function useDraft<T>(key: string): { draft: T | null | undefined; keep: (value: T) => Promise<void> } {
  const { database } = useDevice();
  const [draft, setDraft] = useState<T | null | undefined>(undefined);
  const writes = useRef<Promise<void>>(Promise.resolve());
  useEffect(() => {
    let current = true;
    setDraft(undefined);
    void database.get('drafts', key).then((found) => current && setDraft((found?.value as T | undefined) ?? null));
    return () => {
      current = false;
    };
  }, [database, key]);
  const keep = useCallback((value: T): Promise<void> => {
    setDraft(value);
    // One after the other, so that an older value never overtakes a newer one.
    writes.current = writes.current.catch(() => undefined).then(() => keepDraft(database, key, value));
    return writes.current;
  }, [database, key]);
  return { draft, keep };
}

function keepDraft(database: Database, key: string, value: unknown): Promise<void> {
  return keeping(async () => {
    await database.put('drafts', { key, value });
  });
}

export const draftKey = (orderId: string, stepId: string): string => `${orderId}/${stepId}`;
