import { useCallback, useEffect, useRef, useState } from 'react';
import type { Database } from './database.js';
import { useDevice } from './device.js';
import { inOne } from './inOne.js';

/** `undefined`: still reading; `null`: there is none. */
export function useDraft<T>(key: string): { draft: T | null | undefined; keep: (value: T) => Promise<void> } {
  const { database } = useDevice();
  const [held, setHeld] = useState<{ key: string; draft: T | null } | null>(null);
  const writes = useRef<Promise<void>>(Promise.resolve());
  useEffect(() => {
    let current = true;
    void database.get('drafts', key).then((found) => current && setHeld({ key, draft: (found?.value as T | undefined) ?? null }));
    return () => {
      current = false;
    };
  }, [database, key]);
  const keep = useCallback((value: T): Promise<void> => {
    setHeld({ key, draft: value });
    // One after the other, so that an older value never overtakes a newer one.
    writes.current = writes.current.catch(() => undefined).then(() => keepDraft(database, key, value));
    return writes.current;
  }, [database, key]);
  return { draft: held?.key === key ? held.draft : undefined, keep };
}

function keepDraft(database: Database, key: string, value: unknown): Promise<void> {
  return inOne(database, ['drafts'], async (writing) => {
    await writing.objectStore('drafts').put({ key, value });
  });
}

export const draftKey = (orderId: string, stepId: string): string => `${orderId}/${stepId}`;
