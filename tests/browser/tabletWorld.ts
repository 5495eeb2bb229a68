import type { Browser, Page } from 'playwright-core';
import type { Door, WholeWorkOrder } from '@lintel/contract';
import axe from 'axe-core';
import { Lintel, openBrowser, Reader } from './support.js';
import { Line, Tablet } from './tabletDevice.js';

export const todayAt = (timeZone: string): string => new Intl.DateTimeFormat('en-CA', { timeZone }).format(new Date());

/** The house, a line to it that can be cut, a planner at a desk, and a technician's tablet. */
export class TabletWorld {
  private constructor(
    readonly lintel: Lintel,
    readonly line: Line,
    readonly browser: Browser,
    readonly planner: Reader,
    readonly tablet: Tablet,
  ) {}

  static async start(): Promise<TabletWorld> {
    const lintel = await Lintel.start();
    const line = await Line.to(lintel.base);
    const browser = await openBrowser();
    return new TabletWorld(lintel, line, browser, await Reader.at(browser, lintel, 'planner'), new Tablet(line.base));
  }

  async stop(): Promise<void> {
    await this.tablet.throwAway();
    await this.planner.close();
    await this.browser.close();
    await this.line.close();
    await this.lintel.stop();
  }

  async post<T>(path: string, data: unknown): Promise<T> {
    const answer = await this.planner.context.request.post(`${this.lintel.base}/api/v1${path}`, { data });
    if (!answer.ok()) throw new Error(`${path}: ${answer.status()} ${await answer.text()}`);
    return (await answer.json()) as T;
  }

  /** An order for the technician of the demo, planned for today and released. */
  async released(door: Door, given: object): Promise<WholeWorkOrder> {
    const technician = await Reader.at(this.browser, this.lintel, 'technician');
    const { account } = await technician.get<{ account: { id: string } }>('/session');
    await technician.close();
    const made = await this.post<WholeWorkOrder>('/work-orders', { doorId: door.id, technicianId: account.id, plannedOn: todayAt(door.timeZone), ...given });
    return this.post<WholeWorkOrder>(`/work-orders/${made.id}/release`, {});
  }

  order(id: string): Promise<WholeWorkOrder> {
    return this.planner.get<WholeWorkOrder>(`/work-orders/${id}`);
  }

  async signIn(page: Page): Promise<void> {
    await page.getByLabel('E-mail').fill('technician@demo.example');
    await page.getByLabel('Password').fill(this.lintel.password);
    await page.getByRole('button', { name: 'Sign in' }).click();
  }

  async noSignal(): Promise<void> {
    this.line.cut();
    await this.tablet.context.setOffline(true);
  }

  async signal(): Promise<void> {
    this.line.mend();
    await this.tablet.context.setOffline(false);
  }
}

/** The mark that says whether what was done has arrived. */
export const sync = (page: Page) => page.locator('a.sync');
export const heading = (page: Page, name: string | RegExp) => page.getByRole('heading', { level: 1, name });

/** Waits until everything that was done has been answered and the state has come back. */
export async function inStep(page: Page): Promise<void> {
  await page.waitForFunction(() => {
    const mark = document.querySelector<HTMLElement>('a.sync');
    return mark?.dataset['waiting'] === '0' && mark.dataset['state'] === 'in-step';
  }, undefined, { timeout: 60_000 });
}

export async function pageFaults(page: Page): Promise<string[]> {
  await page.evaluate(axe.source);
  return page.evaluate(async () => {
    type Fault = { id: string; nodes: { html: string }[] };
    const { violations } = await (window as unknown as { axe: { run: (root: Document, options: object) => Promise<{ violations: Fault[] }> } }).axe.run(
      document, { runOnly: ['wcag2a', 'wcag2aa', 'wcag21a', 'wcag21aa', 'wcag22aa'] });
    return violations.map(({ id, nodes }) => `${id}: ${nodes.slice(0, 3).map(({ html }) => html.slice(0, 160)).join(' | ')}`);
  });
}

/** Targets smaller than 48 px, which a glove misses. */
export function smallTargets(page: Page): Promise<string[]> {
  return page.evaluate(() => [...document.querySelectorAll('a, button, input:not([type=file]), select, textarea, summary, label.button')]
    .map((one) => ({ one, box: one.getBoundingClientRect() }))
    .filter(({ box }) => box.width > 0 && (box.height < 47.5 || box.width < 47.5))
    .map(({ one, box }) => `${one.tagName} ${(one.textContent ?? '').trim().slice(0, 40)} ${Math.round(box.width)}×${Math.round(box.height)}`));
}
