import { spawnSync } from 'node:child_process';
import { fileURLToPath } from 'node:url';
import type { TestProject } from 'vitest/node';
import { runCli } from '../support/runCli.js';
import { removeHome, temporaryHome } from '../support/temporaryHome.js';

declare module 'vitest' {
  interface ProvidedContext {
    /** A home with the demo in it, on which no server runs. */
    demoHome: string;
    /** Of the demo's sign-ins. */
    demoPassword: string;
  }
}

const root = fileURLToPath(new URL('../..', import.meta.url));
const PASSWORD = 'a word for the browser';

/** Builds the programs and makes the demo once a run; the house of each file stands on a copy of it (`Lintel.start`). */
export default async function setup(project: TestProject): Promise<() => Promise<void>> {
  const built = spawnSync('npm', ['run', '--silent', 'build'], { cwd: root, encoding: 'utf8' });
  if (built.status !== 0) throw new Error(`the programs for the browser tests could not be built:\n${built.stdout}${built.stderr}`);
  const home = temporaryHome('demo');
  try {
    const made = await runCli(['seed'], { LINTEL_HOME: home, LINTEL_DEMO_PASSWORD: PASSWORD });
    if (made.code !== 0) throw new Error(`the demo for the browser tests could not be made: lintel seed ended with ${made.code}:\n${made.stderr || made.stdout}`);
    project.provide('demoHome', home);
    project.provide('demoPassword', PASSWORD);
    return () => removeHome(home);
  } catch (error) {
    await removeHome(home);
    throw error;
  }
}
