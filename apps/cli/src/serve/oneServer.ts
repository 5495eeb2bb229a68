import { readFileSync, rmSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { FailureError } from '../inputError.js';

interface Running {
  pid: number;
  address: string;
}

/**
 * A home has one server at a time. A file left by one that was killed is told from a living one by asking it: a
 * process number alone may belong to somebody else by now.
 * @throws FailureError naming the address of the one that runs.
 */
export async function claimHome(home: string, address: string): Promise<() => void> {
  const file = join(home, 'server.json');
  const running = read(file);
  if (running && isAlive(running.pid) && (await answers(running.address))) {
    throw new FailureError(`Lintel already runs on this data folder, at ${running.address} (process ${running.pid}); stop it or set LINTEL_HOME`);
  }
  writeFileSync(file, JSON.stringify({ pid: process.pid, address } satisfies Running));
  return () => rmSync(file, { force: true });
}

function read(file: string): Running | null {
  try {
    return JSON.parse(readFileSync(file, 'utf8')) as Running;
  } catch {
    return null;
  }
}

function isAlive(pid: number): boolean {
  try {
    process.kill(pid, 0);
    return true;
  } catch (error) {
    return (error as NodeJS.ErrnoException).code === 'EPERM';
  }
}

async function answers(address: string): Promise<boolean> {
  try {
    await fetch(`${address}health`, { signal: AbortSignal.timeout(2_000) });
    return true;
  } catch {
    return false;
  }
}
