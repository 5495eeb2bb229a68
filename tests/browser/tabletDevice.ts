import { spawn, type ChildProcess } from 'node:child_process';
import { once } from 'node:events';
import { mkdtempSync, rmSync } from 'node:fs';
import { connect, createServer, type Server, type Socket } from 'node:net';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { chromium, type Browser, type BrowserContext, type Page } from 'playwright-core';
import { browserProgram, browserWords, freePort } from './support.js';

/** The line between a device and the server. Cut, nothing gets through, for the pages and their service worker alike. */
export class Line {
  private readonly open = new Set<Socket>();
  private isCut = false;

  private constructor(
    readonly base: string,
    private readonly server: Server,
  ) {}

  static async to(serverBase: string): Promise<Line> {
    const target = new URL(serverBase);
    const port = await freePort();
    const server = createServer();
    const line = new Line(`http://127.0.0.1:${port}`, server);
    server.on('connection', (near) => {
      if (line.isCut) return near.destroy();
      const far = connect(Number(target.port), target.hostname);
      for (const [one, other] of [[near, far], [far, near]] as const) {
        line.open.add(one);
        one.on('error', () => other.destroy());
        one.on('close', () => {
          line.open.delete(one);
          other.destroy();
        });
        one.pipe(other);
      }
    });
    server.listen(port, '127.0.0.1');
    await once(server, 'listening');
    return line;
  }

  cut(): void {
    this.isCut = true;
    for (const socket of this.open) socket.destroy();
  }

  mend(): void {
    this.isCut = false;
  }

  async close(): Promise<void> {
    this.cut();
    this.server.close();
    await once(this.server, 'close');
  }
}

/** A tablet: a browser program with a profile on the disk that outlives it. It can be killed as a battery's end does. */
export class Tablet {
  private child: ChildProcess | null = null;
  private browser: Browser | null = null;
  private readonly profile = mkdtempSync(join(tmpdir(), 'lintel-tablet-'));
  readonly thrown: string[] = [];

  constructor(
    readonly base: string,
    private readonly size: { width: number; height: number } = { width: 1024, height: 768 },
  ) {}

  async on(): Promise<Page> {
    const port = await freePort();
    const words = [...browserWords, '--headless', '--password-store=basic', '--use-mock-keychain', `--remote-debugging-port=${port}`, `--user-data-dir=${this.profile}`,
      `--window-size=${this.size.width},${this.size.height}`, 'about:blank'];
    const child = spawn(await browserProgram(), words, { stdio: 'ignore' });
    this.child = child;
    for (let tries = 0; ; tries++) {
      const answer = await fetch(`http://127.0.0.1:${port}/json/version`).catch(() => null);
      if (answer?.ok) break;
      if (tries > 120 || child.exitCode !== null) throw new Error(`the browser did not start (${child.exitCode})`);
      await new Promise((resolve) => setTimeout(resolve, 250));
    }
    this.browser = await chromium.connectOverCDP(`http://127.0.0.1:${port}`);
    const page = await this.context.newPage();
    await page.setViewportSize(this.size);
    page.setDefaultTimeout(20_000);
    page.on('pageerror', (error) => this.thrown.push(error.message));
    return page;
  }

  get context(): BrowserContext {
    const context = this.browser?.contexts()[0];
    if (!context) throw new Error('the tablet is off');
    return context;
  }

  /** No goodbye: the process is gone at once. */
  async kill(): Promise<void> {
    const { child } = this;
    if (!child || child.exitCode !== null || child.signalCode !== null) return;
    const gone = once(child, 'exit');
    child.kill('SIGKILL');
    await gone;
    await this.browser?.close().catch(() => undefined);
    this.browser = null;
  }

  /** Switched off in order, so that none of its processes still writes when its profile goes. */
  async throwAway(): Promise<void> {
    const { child } = this;
    if (child && child.exitCode === null && child.signalCode === null) {
      const gone = once(child, 'exit');
      const session = await this.browser?.newBrowserCDPSession().catch(() => null);
      await session?.send('Browser.close').catch(() => undefined);
      await Promise.race([gone, new Promise((resolve) => setTimeout(resolve, 10_000))]);
    }
    await this.kill();
    rmSync(this.profile, { recursive: true, force: true, maxRetries: 10, retryDelay: 300 });
  }
}
