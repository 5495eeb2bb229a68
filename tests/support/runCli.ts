import { spawn } from 'node:child_process';
import { fileURLToPath } from 'node:url';

const COMMAND = fileURLToPath(new URL('../../apps/cli/bin/lintel.js', import.meta.url));

export interface CliRun {
  code: number | null;
  stdout: string;
  stderr: string;
}

/** Runs the built command line as users do: a process of its own, its words, its environment. */
export function runCli(words: readonly string[], environment: Record<string, string> = {}): Promise<CliRun> {
  const { DATABASE_URL: _database, REDIS_URL: _redis, PORT: _port, HOST: _host, ...outer } = process.env;
  const child = spawn(process.execPath, [COMMAND, ...words], { env: { ...outer, ...environment }, stdio: ['ignore', 'pipe', 'pipe'] });
  let [stdout, stderr] = ['', ''];
  child.stdout.setEncoding('utf8').on('data', (text: string) => (stdout += text));
  child.stderr.setEncoding('utf8').on('data', (text: string) => (stderr += text));
  return new Promise((resolve, reject) => {
    child.once('error', reject);
    child.once('close', (code) => resolve({ code, stdout, stderr }));
  });
}
