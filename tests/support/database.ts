import { rmSync } from 'node:fs';
import type { TestProject } from 'vitest/node';
import { startEmbeddedServer, stopEmbeddedServer } from '@lintel/store';
import { temporaryHome } from './temporaryHome.js';

declare module 'vitest' {
  interface ProvidedContext {
    /** A role that may make databases and roles. */
    ownerUrl: string;
  }
}

/**
 * One PostgreSQL server for the run: the embedded one in a folder of its own, or the one that
 * LINTEL_TEST_DATABASE_URL names. Each test file makes its own databases in it and drops them.
 */
export default async function setup(project: TestProject): Promise<() => Promise<void>> {
  const given = process.env['LINTEL_TEST_DATABASE_URL'];
  if (given) {
    project.provide('ownerUrl', given);
    return async () => undefined;
  }
  const home = temporaryHome('test');
  const server = await startEmbeddedServer(home);
  project.provide('ownerUrl', server.ownerUrl);
  return async () => {
    await stopEmbeddedServer(home);
    rmSync(home, { recursive: true, force: true });
  };
}
