import { execFileSync } from 'node:child_process';
import { chmodSync, mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { dirname, join } from 'node:path';
import { embeddedDataFolder, stopEmbeddedServer } from '@lintel/store';

/**
 * A data folder of a test's own. The system makes temporary folders for their maker alone; run as root, the database's
 * account could not enter, and its files would go elsewhere and outlive the test.
 */
export function temporaryHome(name: string): string {
  const folder = mkdtempSync(join(tmpdir(), `lintel-${name}-`));
  chmodSync(folder, 0o755);
  return folder;
}

/** A copy of a home on which no server runs. The copy shares nothing with it. */
export function copiedHome(original: string, name: string): string {
  const copy = temporaryHome(name);
  try {
    copyFolder(original, copy);
    // Not in the home where root runs the tests in a checkout that nobody else may enter.
    if (liesElsewhere(original)) copyFolder(embeddedDataFolder(original), embeddedDataFolder(copy));
  } catch (error) {
    rmSync(copy, { recursive: true, force: true });
    throw error;
  }
  return copy;
}

/** Node's own copying loses whose files they are, and PostgreSQL starts on its account's alone. */
const copyFolder = (from: string, to: string): Buffer => execFileSync('cp', ['-a', `${from}/.`, to]);

const liesElsewhere = (home: string): boolean => dirname(embeddedDataFolder(home)) !== home;

/** Stops the database of a test's home, where one still runs, and takes the home away with all that belongs to it. */
export async function removeHome(home: string): Promise<void> {
  await stopEmbeddedServer(home);
  for (const folder of [dirname(embeddedDataFolder(home)), home]) rmSync(folder, { recursive: true, force: true, maxRetries: 5, retryDelay: 500 });
}
