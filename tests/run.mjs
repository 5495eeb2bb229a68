// Everything that must hold, in one command: `npm test`. With `--served` only the integration tests, against the
// PostgreSQL and Redis servers that LINTEL_TEST_DATABASE_URL and LINTEL_TEST_REDIS_URL name.
import { spawnSync } from 'node:child_process';
import { mkdtempSync, readFileSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { dirname, join } from 'node:path';
import { fileURLToPath } from 'node:url';

const root = join(dirname(fileURLToPath(import.meta.url)), '..');
const served = process.argv.includes('--served');
const bin = (name) => join(root, 'node_modules', '.bin', name);
const environment = { ...process.env, NO_COLOR: '1', FORCE_COLOR: undefined };

function step(title, command, words) {
  console.log(`\n== ${title}`);
  const { status } = spawnSync(command, words, { cwd: root, stdio: 'inherit', env: environment });
  if (status !== 0) {
    console.error(`\n${title}: failed`);
    process.exit(1);
  }
}

/** Null where Vitest ended before it had anything to report. */
function countsIn(report) {
  try {
    return JSON.parse(readFileSync(report, 'utf8'));
  } catch {
    return null;
  }
}

function vitest(projects) {
  const folder = mkdtempSync(join(tmpdir(), 'lintel-report-'));
  const report = join(folder, 'report.json');
  const words = ['run', '--reporter=default', '--reporter=json', `--outputFile.json=${report}`];
  const { status } = spawnSync(bin('vitest'), [...words, ...projects.flatMap((name) => ['--project', name])],
    { cwd: root, stdio: 'inherit', env: environment });
  const counts = countsIn(report);
  rmSync(folder, { recursive: true, force: true });
  if (counts === null) {
    console.error('\nno test was run: what should prepare them failed, as said above');
    process.exit(status || 1);
  }
  const skipped = counts.numPendingTests + counts.numTodoTests;
  console.log(`\n${counts.numPassedTests} passed, ${counts.numFailedTests} failed${skipped ? `, ${skipped} skipped` : ''}`);
  process.exit(status ?? 1);
}

if (served) {
  vitest(['integration']);
} else {
  step('database client', process.execPath, ['packages/store/generate.mjs']);
  step('types and build', bin('tsc'), ['-b']);
  step('types of the tests', bin('tsc'), ['-p', 'tests']);
  step('pages', process.execPath, ['apps/buildPages.mjs', 'admin', 'tablet']);
  step('lint and boundaries', bin('oxlint'), ['--type-aware', 'packages', 'apps', 'tests']);
  console.log('\n== tests: unit, integration on the embedded database, browser');
  vitest(['unit', 'integration', 'browser']);
}
