import type { CDPSession, Page } from 'playwright-core';

export interface Shown {
  /** Time of the page's main thread on the processor from the tap to the end of the frame that shows the new page, ms: no waiting. */
  workMs: number;
  /** From the tap until that frame on the clock, ms. */
  wallMs: number;
  /** Frames begun until the new page stood in one; 1: in the very next. */
  frames: number;
}

/** What the browser notes of a task: instants and lengths in µs, `tdur` on the processor alone. */
interface Noted {
  name: string;
  ph: string;
  pid: number;
  tid: number;
  ts: number;
  dur?: number;
  tdur?: number;
}

/** Measures what a tap costs the page's main thread, from the browser's own list of its tasks. */
export class FrameWork {
  constructor(
    private readonly page: Page,
    private readonly cdp: CDPSession,
  ) {}

  /** Taps, and waits for the first frame with another heading. */
  async tap(selector: string): Promise<Shown> {
    const events: Noted[] = [];
    const note = ({ value }: { value: unknown[] }): void => void events.push(...(value as Noted[]));
    this.cdp.on('Tracing.dataCollected', note);
    await this.cdp.send('Tracing.start', { transferMode: 'ReportEvents', traceConfig: { includedCategories: ['toplevel', 'blink.user_timing'] } });
    await this.page.waitForTimeout(120);
    const frames = await this.framesUntilShown(selector);
    const complete = new Promise((done) => void this.cdp.once('Tracing.tracingComplete', done));
    await this.cdp.send('Tracing.end');
    await complete;
    this.cdp.off('Tracing.dataCollected', note);
    return { frames, ...mainThread(events) };
  }

  private framesUntilShown(selector: string): Promise<number> {
    return this.page.evaluate((target) => new Promise<number>((done) => {
      const head = (): string | null | undefined => document.querySelector('h1')?.textContent;
      const old = head();
      let frames = 0;
      const frame = (): void => {
        frames += 1;
        if (head() === old) {
          requestAnimationFrame(frame);
          return;
        }
        performance.mark('lintel-frame');
        done(frames);
      };
      requestAnimationFrame(frame);
      performance.mark('lintel-tap');
      document.querySelector<HTMLElement>(target)!.click();
    }), selector);
  }
}

/** The tasks of the thread that was tapped, from the tap's own to the one that drew the frame. */
function mainThread(events: readonly Noted[]): Omit<Shown, 'frames'> {
  const tap = events.find(({ name }) => name === 'lintel-tap')!;
  const frame = events.find(({ name }) => name === 'lintel-frame')!;
  const tasks = events.filter(({ name, ph, pid, tid, ts, dur = 0 }) =>
    name.endsWith('RunTask') && ph === 'X' && pid === tap.pid && tid === tap.tid && ts + dur >= tap.ts && ts <= frame.ts);
  // A task within a task is counted with it.
  const outer = tasks.filter((one) => !tasks.some((other) => other !== one && other.ts <= one.ts && other.ts + other.dur! >= one.ts + one.dur!));
  if (outer.length === 0) throw new Error('the browser noted no task of the page');
  const end = Math.max(...outer.map(({ ts, dur = 0 }) => ts + dur));
  return { workMs: outer.reduce((sum, { tdur = 0 }) => sum + tdur, 0) / 1000, wallMs: (end - tap.ts) / 1000 };
}

export function middle(values: readonly number[]): number {
  return values.toSorted((a, b) => a - b)[Math.floor(values.length / 2)]!;
}

/** `median 4.1 ms of the main thread (greatest 9.0), 5 ms on the clock, frames 1–2, 16 times`. */
export function shownWords(shown: readonly Shown[]): string {
  const work = shown.map(({ workMs }) => workMs);
  const frames = shown.map((one) => one.frames);
  const wall = middle(shown.map(({ wallMs }) => wallMs));
  return `median ${middle(work).toFixed(1)} ms of the main thread (greatest ${Math.max(...work).toFixed(1)}), ` +
    `${wall.toFixed(0)} ms on the clock, frames ${Math.min(...frames)}–${Math.max(...frames)}, ${shown.length} times`;
}
