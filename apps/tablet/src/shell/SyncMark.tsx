import { count } from '@lintel/ui';
import { memo, useEffect, useState } from 'react';
import { Link } from 'wouter';
import type { Database } from '../keep/database.js';
import { useKept, useSync } from '../keep/device.js';
import type { SyncState } from '../keep/sender.js';

export const syncWords: Record<SyncState, string> = {
  sending: 'Sending',
  'in-step': 'All sent',
  'no-signal': 'No signal',
  'sign-in': 'Sign in to send',
  trouble: 'Cannot send',
};

/** Tick: all sent. Arrow up: sending, or waiting to be sent. Broken waves: no signal. Key: sign in. Triangle: trouble. */
export function SyncShape({ state, waiting }: { state: SyncState; waiting: number }) {
  const line = { fill: 'none', stroke: 'currentColor', strokeWidth: 2 } as const;
  switch (state) {
    case 'no-signal':
      return <path d="M1.5 6.5A9.5 9.5 0 0 1 8 4M4 10a6 6 0 0 1 2.5-1.8M14.5 1.5l-13 13" {...line} />;
    case 'sign-in':
      return <path d="M5 8.2a3 3 0 1 0 0-.4M8 8h6.5M12 8v3" {...line} />;
    case 'trouble':
      return <path d="M8 1.8 15 14H1ZM8 6v4M8 11.4v1.4" {...line} />;
    case 'in-step':
      if (waiting === 0) return <path d="M2 8.6 6.2 12.6 14 3.8" {...line} />;
      return <path d="M8 14V2.5M3 7.5l5-5 5 5" {...line} />;
    case 'sending':
      return <path d="M8 14V2.5M3 7.5l5-5 5 5" {...line} />;
  }
}

export const countWaiting = (database: Database): Promise<number> => database.countFromIndex('outbox', 'byStanding', 'waiting');

/** How many things a person has to look at: refused work and contradicting answers. */
export async function countNeeds(database: Database): Promise<number> {
  const refused = await database.countFromIndex('outbox', 'byStanding', 'refused');
  const orders = await database.getAll('orders');
  return refused + orders.reduce((sum, { local }) => sum + local.conflicts.length, 0);
}

/** Whether what was done has arrived: a shape, a word, how much waits, and when it was last in step. Always in sight. */
export const SyncMark = memo(function SyncMark() {
  const { state, lastSyncAt } = useSync();
  const { kept } = useKept(countWaiting);
  const waiting = kept ?? 0;
  const word = state === 'in-step' && waiting > 0 ? 'Kept, not sent yet' : syncWords[state];
  const ago = useAgo(lastSyncAt);
  return (
    <Link href="/device" className="sync" data-state={state} data-waiting={waiting}>
      <svg viewBox="0 0 16 16" aria-hidden="true"><SyncShape state={state} waiting={waiting} /></svg>
      <span className="sync-words">
        <strong>{word}{waiting > 0 ? `: ${count(waiting, 'entry').replace('entrys', 'entries')}` : ''}</strong>
        <span>{lastSyncAt === null ? 'never in step yet' : `in step ${ago}`}</span>
      </span>
    </Link>
  );
});

/** `just now`, `12 min ago`, `5 h ago`, `3 days ago`, kept current. */
function useAgo(at: number | null): string {
  const [now, setNow] = useState(Date.now);
  useEffect(() => {
    const timer = setInterval(() => setNow(Date.now()), 30_000);
    return () => clearInterval(timer);
  }, []);
  return at === null ? '' : agoWords(Math.max(0, now - at));
}

export function agoWords(ms: number): string {
  const minutes = Math.floor(ms / 60_000);
  if (minutes < 1) return 'just now';
  if (minutes < 60) return `${minutes} min ago`;
  if (minutes < 48 * 60) return `${Math.floor(minutes / 60)} h ago`;
  return `${Math.floor(minutes / 1440)} days ago`;
}
