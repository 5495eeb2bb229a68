import { spawn, spawnSync, type ChildProcess } from 'node:child_process';
import { once } from 'node:events';
import { readFileSync } from 'node:fs';
import { createServer } from 'node:net';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import { removeHome, temporaryHome } from '../support/temporaryHome.js';

const LINTEL = fileURLToPath(new URL('../../apps/cli/bin/lintel.js', import.meta.url));
const PASSWORD = 'a password of the test';

interface Served {
  process: ChildProcess;
  address: string;
  output: () => string;
}

function freePort(): Promise<number> {
  return new Promise((resolve) => {
    const probe = createServer().listen(0, '127.0.0.1', () => {
      const { port } = probe.address() as { port: number };
      probe.close(() => resolve(port));
    });
  });
}

/** As on a bare machine: none of this machine's services, whatever the surroundings name. */
function bareEnvironment(home: string, port: number): NodeJS.ProcessEnv {
  const { DATABASE_URL: _database, REDIS_URL: _redis, ...rest } = process.env;
  return { ...rest, LINTEL_HOME: home, PORT: String(port), LINTEL_DEMO_PASSWORD: PASSWORD };
}

async function start(home: string, port: number): Promise<Served> {
  const child = spawn(process.execPath, [LINTEL, 'serve'], { env: bareEnvironment(home, port) });
  let text = '';
  const ready = new Promise<void>((resolve, reject) => {
    const hear = (chunk: Buffer): void => {
      text += chunk.toString();
      if (text.includes('Ctrl-C stops it.')) resolve();
    };
    child.stdout.on('data', hear);
    child.stderr.on('data', hear);
    child.once('exit', (code) => reject(new Error(`ended with ${code} before it was ready:\n${text}`)));
  });
  await ready;
  return { process: child, address: /http:\/\/\S+\//.exec(text)![0], output: () => text };
}

async function signIn(address: string): Promise<string> {
  const answer = await fetch(`${address}api/v1/session`, {
    method: 'POST',
    headers: { 'content-type': 'application/json' },
    body: JSON.stringify({ email: 'planner@demo.example', password: PASSWORD }),
  });
  expect(answer.status).toBe(200);
  return answer.headers.getSetCookie()[0]!.split(';')[0]!;
}

/** The database process of a home, or null once it has gone. */
function databaseProcess(home: string): number | null {
  try {
    const pid = Number(readFileSync(join(home, 'database', 'postmaster.pid'), 'utf8').split('\n')[0]);
    process.kill(pid, 0);
    return pid;
  } catch {
    return null;
  }
}

describe('lintel serve', () => {
  let home: string;
  let running: Served | null = null;

  beforeEach(() => {
    home = temporaryHome('serve');
  });
  afterEach(async () => {
    if (running && running.process.exitCode === null && running.process.signalCode === null) {
      running.process.kill('SIGKILL');
      await once(running.process, 'exit');
    }
    running = null;
    await removeHome(home);
  });

  it('starts on nothing, shows the demo, stops cleanly, and recovers from a kill', { timeout: 300_000 }, async () => {
    const port = await freePort();
    running = await start(home, port);
    for (const name of ['planner', 'technician', 'owner', 'admin']) expect(running.output()).toContain(`${name}@demo.example`);
    expect(running.output()).toContain(PASSWORD);
    expect((await fetch(`${running.address}health`)).status).toBe(200);
    expect((await fetch(`${running.address}ready`)).status).toBe(200);
    const page = await fetch(running.address);
    expect(page.headers.get('content-type')).toContain('text/html');
    const cookie = await signIn(running.address);
    const doors = await (await fetch(`${running.address}api/v1/doors?limit=5`, { headers: { cookie } })).json() as { items: { projectedAt: string | null }[] };
    expect(doors.items).toHaveLength(5);
    for (const door of doors.items) expect(door.projectedAt).not.toBeNull();

    running.process.kill('SIGKILL');
    await once(running.process, 'exit');
    // The database outlives a killed parent; the next start finds it, or starts it again where it did not.
    running = await start(home, port);
    const again = await fetch(`${running.address}api/v1/session`, { headers: { cookie } });
    expect(again.status).toBe(200);

    // Twice, as Ctrl-C under npm does it.
    running.process.kill('SIGINT');
    setTimeout(() => running?.process.kill('SIGINT'), 50);
    const [code] = await once(running.process, 'exit') as [number | null];
    expect(code).toBe(0);
    expect(databaseProcess(home)).toBeNull();
    await expect(fetch(`${running.address}health`)).rejects.toThrow(/fetch failed/);
  });

  it('refuses a taken port, a wrong port and a home in use, each in one clear line', { timeout: 300_000 }, async () => {
    const port = await freePort();
    const run = (folder: string, value: string) => spawnSync(process.execPath, [LINTEL, 'serve'], {
      env: { ...bareEnvironment(folder, port), PORT: value }, encoding: 'utf8', timeout: 120_000,
    });
    const wrong = run(home, 'ninety');
    expect([wrong.status, wrong.stderr.trim().split('\n')]).toEqual([2, [expect.stringContaining('PORT')]]);

    running = await start(home, port);
    const elsewhere = temporaryHome('serve');
    const taken = run(elsewhere, String(port));
    await removeHome(elsewhere);
    expect([taken.status, taken.stderr.trim().split('\n')]).toEqual([1, [expect.stringContaining(`port ${port}`)]]);
    const other = run(home, String(await freePort()));
    expect([other.status, other.stderr.trim().split('\n')]).toEqual([1, [expect.stringContaining(running.address)]]);
    expect((await fetch(`${running.address}ready`)).status).toBe(200);
  });
});
