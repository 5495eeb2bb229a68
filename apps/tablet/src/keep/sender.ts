import type { Doer } from './applyCommand.js';
import { type Database, readMeta } from './database.js';
import { changed } from './changes.js';
import { syncRound, type Wire, WireError } from './sync.js';

export type SyncState = 'sending' | 'in-step' | 'no-signal' | 'sign-in' | 'trouble';

export interface SyncReport {
  state: SyncState;
  /** What went wrong, as a sentence. */
  detail: string | null;
  lastSyncAt: number | null;
}

/** Seconds between rounds: with something to send, and without. After a failure each try waits twice as long as the one before. */
const soonSeconds = 15;
const idleSeconds = 120;
const longestSeconds = 300;

/** Keeps the device and the server in step: one tab at a time, after each change, with every return of the signal. */
export class Sender {
  private report: SyncReport = { state: navigator.onLine ? 'in-step' : 'no-signal', detail: null, lastSyncAt: null };
  private readonly listeners = new Set<() => void>();
  private timer: ReturnType<typeof setTimeout> | undefined;
  private failures = 0;
  private running = false;
  private again = false;
  private stopped = false;

  constructor(
    private readonly database: Database,
    private readonly wire: Wire,
    private readonly doer: Doer,
  ) {}

  start(): void {
    window.addEventListener('online', this.soon);
    window.addEventListener('offline', this.offline);
    document.addEventListener('visibilitychange', this.seen);
    void readMeta(this.database, 'lastSyncAt').then((lastSyncAt) => this.say({ lastSyncAt: lastSyncAt ?? null }));
    this.soon();
  }

  stop(): void {
    this.stopped = true;
    clearTimeout(this.timer);
    window.removeEventListener('online', this.soon);
    window.removeEventListener('offline', this.offline);
    document.removeEventListener('visibilitychange', this.seen);
  }

  readonly subscribe = (listener: () => void): (() => void) => {
    this.listeners.add(listener);
    return () => this.listeners.delete(listener);
  };

  readonly current = (): SyncReport => this.report;

  /** Begins a round now, or another one after the round that runs. */
  readonly soon = (): void => {
    this.failures = 0;
    void this.run();
  };

  private readonly offline = (): void => this.say({ state: 'no-signal', detail: null });
  private readonly seen = (): void => {
    if (document.visibilityState === 'visible') this.soon();
  };

  private async run(): Promise<void> {
    if (this.stopped) return;
    this.again = this.running;
    if (this.running) return;
    this.running = true;
    clearTimeout(this.timer);
    try {
      // Two tabs with one outbox: the lock lets one of them send. It ends with its tab, so a crash frees it.
      await navigator.locks.request(`lintel-tablet-send-${this.doer.id}`, () => this.round());
      this.failures = 0;
    } catch (error) {
      this.failures += 1;
      this.say(failed(error));
    }
    this.running = false;
    await this.plan();
  }

  private async round(): Promise<void> {
    // Asked even where the browser says there is no network: it is sometimes wrong, and a refused try costs nothing.
    if (navigator.onLine) this.say({ state: 'sending', detail: null });
    await syncRound({ database: this.database, wire: this.wire, doer: this.doer, now: Date.now });
    this.say({ state: 'in-step', detail: null, lastSyncAt: Date.now() });
    changed();
  }

  private async plan(): Promise<void> {
    if (this.stopped) return;
    if (this.again) {
      await this.run();
      return;
    }
    const left = await this.database.countFromIndex('outbox', 'byStanding', 'waiting');
    const seconds = left > 0 || this.failures > 0 ? soonSeconds : idleSeconds;
    this.timer = setTimeout(() => void this.run(), Math.min(longestSeconds, seconds * 2 ** Math.max(0, this.failures - 1)) * 1000);
  }

  private say(change: Partial<SyncReport>): void {
    this.report = { ...this.report, ...change };
    for (const listener of this.listeners) listener();
  }
}

function failed(error: unknown): Pick<SyncReport, 'state' | 'detail'> {
  if (error instanceof WireError) {
    if (error.status === 0) return { state: 'no-signal', detail: null };
    if (error.status === 401) return { state: 'sign-in', detail: 'Your sign-in has ended. Everything is kept; sign in again to send it.' };
    return { state: 'trouble', detail: error.message };
  }
  return { state: 'trouble', detail: error instanceof Error ? error.message : String(error) };
}
