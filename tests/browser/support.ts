import { spawn, type ChildProcess } from 'node:child_process';
import { once } from 'node:events';
import { existsSync } from 'node:fs';
import { createServer } from 'node:net';
import { fileURLToPath } from 'node:url';
import axe from 'axe-core';
import chromiumPackage from '@sparticuz/chromium';
import { chromium, type Browser, type BrowserContext, type Page } from 'playwright-core';
import { inject } from 'vitest';
import { copiedHome, removeHome } from '../support/temporaryHome.js';

const root = fileURLToPath(new URL('../..', import.meta.url));

export type Role = 'planner' | 'technician' | 'owner' | 'admin';

/** The whole house on a port and in a folder of its own, as `npm start` runs it: the folder a copy of the run's demo. */
export class Lintel {
  private constructor(
    readonly base: string,
    readonly password: string,
    private readonly child: ChildProcess,
    private readonly home: string,
  ) {}

  /** `settings`: environment variables that it is run with besides. */
  static async start(settings: Record<string, string> = {}): Promise<Lintel> {
    const home = copiedHome(inject('demoHome'), 'browser');
    const port = await freePort();
    const password = inject('demoPassword');
    const child = spawn(process.execPath, ['apps/cli/bin/lintel.js', 'serve'], {
      cwd: root,
      env: { ...process.env, LINTEL_HOME: home, PORT: String(port), LINTEL_DEMO_PASSWORD: password, DATABASE_URL: '', REDIS_URL: '', ...settings },
      stdio: ['ignore', 'pipe', 'pipe'],
    });
    let said = '';
    for (const stream of [child.stdout, child.stderr]) stream?.on('data', (text: Buffer) => (said = (said + text.toString()).slice(-8000)));
    const lintel = new Lintel(`http://127.0.0.1:${port}`, password, child, home);
    try {
      await lintel.ready(() => said);
    } catch (error) {
      await lintel.stop();
      throw error;
    }
    return lintel;
  }

  /** Waits until the server says that it is ready; a server that has ended is an error with its last words. */
  private async ready(said: () => string): Promise<void> {
    for (let tries = 0; tries < 600; tries++) {
      if (this.child.exitCode !== null) throw new Error(`lintel serve ended with ${this.child.exitCode}:\n${said()}`);
      const answer = await fetch(`${this.base}/ready`).catch(() => null);
      if (answer?.ok && (await this.knows('planner'))) return;
      await new Promise((resolve) => setTimeout(resolve, 250));
    }
    throw new Error(`lintel serve did not get ready:\n${said()}`);
  }

  private async knows(role: Role): Promise<boolean> {
    const answer = await fetch(`${this.base}/api/v1/session`, {
      method: 'POST',
      headers: { 'content-type': 'application/json' },
      body: JSON.stringify({ email: `${role}@demo.example`, password: this.password }),
    });
    return answer.status === 200;
  }

  async stop(): Promise<void> {
    if (this.child.exitCode === null) {
      const ended = once(this.child, 'exit');
      this.child.kill('SIGTERM');
      const late = setTimeout(() => this.child.kill('SIGKILL'), 30_000);
      await ended;
      clearTimeout(late);
    }
    await removeHome(this.home);
  }
}

export async function freePort(): Promise<number> {
  const server = createServer();
  server.listen(0, '127.0.0.1');
  await once(server, 'listening');
  const address = server.address();
  server.close();
  await once(server, 'close');
  if (address === null || typeof address === 'string') throw new Error('no port');
  return address.port;
}

/** Debian's browser where it is installed, else the one that comes inside a package. */
export async function browserProgram(): Promise<string> {
  const system = '/usr/bin/chromium';
  return existsSync(system) ? system : chromiumPackage.executablePath();
}

export const browserWords = [
  '--no-sandbox', '--disable-gpu', '--disable-quic', '--no-first-run', '--disable-background-networking',
  '--disable-component-update', '--disable-sync',
];

export async function openBrowser(): Promise<Browser> {
  return chromium.launch({ executablePath: await browserProgram(), headless: true, args: browserWords });
}

/** Somebody at a screen; everything that goes wrong or leaves the house is noted. */
export class Reader {
  /** Addresses that were asked outside the server's own origin. */
  readonly foreign: string[] = [];
  /** What pages threw. */
  readonly thrown: string[] = [];

  private constructor(
    readonly context: BrowserContext,
    readonly page: Page,
    readonly base: string,
  ) {
    context.on('request', (request) => {
      const url = request.url();
      if (!url.startsWith(`${base}/`) && !/^(data|blob):/.test(url)) this.foreign.push(url);
    });
    page.on('dialog', (dialog) => {
      // Nothing that these tests do leaves a form with unsaved entries.
      this.thrown.push(`${dialog.type()}: ${dialog.message()} at ${page.url()}`);
      void dialog.accept();
    });
    page.on('pageerror', (error) => this.thrown.push(error.message));
    // What the server's own policy stops never becomes a request: the browser only says so.
    page.on('console', (message) => {
      if (/content security policy/i.test(message.text())) this.foreign.push(message.text().slice(0, 300));
    });
  }

  static async at(browser: Browser, lintel: Lintel, role: Role | null): Promise<Reader> {
    const context = await browser.newContext({ viewport: { width: 1440, height: 900 }, locale: 'en-GB', timezoneId: 'Europe/Berlin' });
    context.setDefaultTimeout(30_000);
    const reader = new Reader(context, await context.newPage(), lintel.base);
    if (role !== null) await reader.send('POST', '/session', { email: `${role}@demo.example`, password: lintel.password });
    return reader;
  }

  /** Opens a page of the admin and waits for its heading. */
  async open(path: string, heading: string | RegExp): Promise<void> {
    await this.page.goto(`${this.base}/#${path}`);
    const head = this.page.getByRole('heading', { level: 1, name: heading });
    await head.waitFor().catch(async (error: Error) => {
      const shown = await this.page.locator('body').innerText();
      throw new Error(`${path} does not show the heading ${String(heading)}; at ${this.page.url()}: ${shown.slice(0, 600)}`, { cause: error });
    });
  }

  async get<T>(path: string): Promise<T> {
    const answer = await this.context.request.get(`${this.base}/api/v1${path}`);
    if (!answer.ok()) throw new Error(`${path}: ${answer.status()} ${await answer.text()}`);
    return (await answer.json()) as T;
  }

  async send(method: 'POST' | 'PATCH', path: string, data: unknown, headers: Record<string, string> = {}): Promise<number> {
    const answer = await this.context.request.fetch(`${this.base}/api/v1${path}`, { method, data, headers });
    return answer.status();
  }

  /** What axe-core finds serious or critical on the page as it stands (rules of WCAG 2.2 A and AA). */
  async seriousFaults(): Promise<string[]> {
    // Half faded in, a dialog has other colours than it will have. Not waited for without end: one that stands still, as
    // a transition may under a busy processor, never says that it is finished.
    await this.page.evaluate((mostMs) => Promise.race([
      new Promise((done) => setTimeout(done, mostMs)),
      Promise.all(document.getAnimations()
        .filter(({ effect }) => Number.isFinite(effect?.getComputedTiming().endTime ?? 0))
        .map(({ finished }) => finished.catch(() => undefined))),
    ]), 2000);
    await this.page.evaluate(axe.source);
    const found = await this.page.evaluate(async () => {
      const { violations } = await (window as unknown as { axe: { run: (root: Document, options: object) => Promise<{ violations: Fault[] }> } }).axe.run(
        document,
        { runOnly: ['wcag2a', 'wcag2aa', 'wcag21a', 'wcag21aa', 'wcag22aa'] },
      );
      return violations
        .filter(({ impact }) => impact === 'serious' || impact === 'critical')
        .map(({ id, nodes }) => `${id}: ${nodes.slice(0, 3).map(({ html }) => html.slice(0, 160)).join(' | ')}`);
    });
    return found;
  }

  /** @throws where a request left the origin or a page threw: both are faults of their own, whatever the test asked. */
  async close(): Promise<void> {
    await this.context.close();
    const wrong = [...this.foreign.map((url) => `left the origin: ${url}`), ...this.thrown.map((message) => `a page threw: ${message}`)];
    if (wrong.length > 0) throw new Error(wrong.join('\n'));
  }
}

interface Fault {
  id: string;
  impact: string;
  nodes: { html: string }[];
}

/** Texts of a table's column, top to bottom. */
export async function column(page: Page, table: string, label: string): Promise<string[]> {
  const rows = page.getByRole('table', { name: table });
  // A dialog that is still closing hides it from a reader of roles.
  await rows.waitFor();
  const heads = await rows.locator('thead th').allInnerTexts();
  const index = heads.findIndex((head) => head.trim() === label);
  if (index < 0) throw new Error(`no column ${label} in ${heads.join(', ')}`);
  const cells = await rows.locator(`tbody tr > td:nth-child(${index + 1})`).allInnerTexts();
  return cells.map((cell) => cell.trim());
}

/** Chooses an option of a select by its label. */
export async function choose(page: Page, label: string | RegExp, option: string | RegExp): Promise<void> {
  await page.getByRole('combobox', { name: label }).click();
  await page.getByRole('option', { name: option, exact: typeof option === 'string' }).click();
  // While the list is still closing, it hides the page from a reader of roles.
  await page.getByRole('listbox').waitFor({ state: 'detached' });
}
