import type { CDPSession, Page } from 'playwright-core';

export interface Shown {
  /** Time of the page's main thread on the processor from the tap until the frame stands, ms: no waiting for a screen or a disk. */
  workMs: number;
  /** From the tap until then on the clock, ms. */
  wallMs: number;
  /** Frames begun until the new page stood in one; 1: in the very next. */
  frames: number;
}

/** Measures what a tap costs the page, by the browser's own count of its main thread's time and without tracing, which costs itself. */
export class FrameWork {
  private constructor(
    private readonly page: Page,
    private readonly cdp: CDPSession,
    /** What measuring takes by itself, ms. */
    private readonly own: number,
  ) {}

  static async on(page: Page, cdp: CDPSession): Promise<FrameWork> {
    await cdp.send('Performance.enable', { timeDomain: 'threadTicks' });
    const nothing = new FrameWork(page, cdp, 0);
    const empty: number[] = [];
    for (let times = 0; times < 9; times++) empty.push((await nothing.tap(null)).workMs);
    return new FrameWork(page, cdp, middle(empty));
  }

  /** Taps, and waits for the first frame with another heading; `null`: for a frame without a tap. */
  async tap(selector: string | null): Promise<Shown> {
    await this.page.waitForTimeout(120);
    const before = await this.mainThread();
    const { wallMs, frames } = await this.page.evaluate((target) => new Promise<Omit<Shown, 'workMs'>>((done) => {
      const head = () => document.querySelector('h1')?.textContent;
      const old = head();
      const from = performance.now();
      let frames = 0;
      const frame = (): void => {
        frames += 1;
        if (target !== null && head() === old) {
          requestAnimationFrame(frame);
          return;
        }
        // A message is delivered once the frame has been painted.
        const { port1, port2 } = new MessageChannel();
        port1.addEventListener('message', () => done({ wallMs: performance.now() - from, frames }), { once: true });
        port1.start();
        port2.postMessage(null);
      };
      requestAnimationFrame(frame);
      if (target !== null) document.querySelector<HTMLElement>(target)!.click();
    }), selector);
    return { workMs: Math.max(0, (await this.mainThread()) - before - this.own), wallMs, frames };
  }

  private async mainThread(): Promise<number> {
    const { metrics } = await this.cdp.send('Performance.getMetrics');
    return metrics.find(({ name }) => name === 'TaskDuration')!.value * 1000;
  }
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
