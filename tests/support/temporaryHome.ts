import { chmodSync, mkdtempSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';

/**
 * A data folder of a test's own. The system makes temporary folders for their maker alone; run as root, the database's
 * account could not enter, and its files would go elsewhere and outlive the test.
 */
export function temporaryHome(name: string): string {
  const folder = mkdtempSync(join(tmpdir(), `lintel-${name}-`));
  chmodSync(folder, 0o755);
  return folder;
}
