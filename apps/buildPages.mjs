// Builds the pages of the apps named into their dist-web (`node apps/buildPages.mjs admin tablet`), unless nothing that
// they are made of has changed since the last time.
import { createHash } from 'node:crypto';
import { existsSync, readdirSync, readFileSync, statSync, writeFileSync } from 'node:fs';
import { dirname, join, relative } from 'node:path';
import { fileURLToPath } from 'node:url';

const apps = dirname(fileURLToPath(import.meta.url));
const root = join(apps, '..');

/** What the pages of an app are made of. */
function sourcesOf(app) {
  const own = ['src', 'public', 'index.html', 'vite.config.ts', 'offlineShell.js'].map((name) => join(app, name));
  const shared = ['ui', 'contract', 'engine'].map((name) => join(root, 'packages', name, 'src'));
  return [...own, ...shared, join(root, 'package-lock.json')].filter((path) => existsSync(path));
}

function filesUnder(path) {
  if (statSync(path).isFile()) return [path];
  const listed = readdirSync(path, { withFileTypes: true, recursive: true });
  return listed.filter((entry) => entry.isFile()).map((entry) => join(entry.parentPath ?? entry.path, entry.name)).sort();
}

function stampOf(app) {
  const hash = createHash('sha256');
  for (const file of sourcesOf(app).flatMap((source) => filesUnder(source))) {
    hash.update(relative(root, file)).update('\0').update(readFileSync(file)).update('\0');
  }
  return hash.digest('hex');
}

async function buildPages(app) {
  const stampFile = join(app, 'dist-web', '.stamp');
  const wanted = stampOf(app);
  if (existsSync(stampFile) && readFileSync(stampFile, 'utf8') === wanted) return;
  // Whoever calls may stand in a test or on a developer's desk: the pages are always built for use.
  process.env.NODE_ENV = 'production';
  const { build } = await import('vite');
  await build({ root: app, configFile: join(app, 'vite.config.ts'), logLevel: 'warn' });
  writeFileSync(stampFile, wanted);
}

for (const name of process.argv.slice(2)) await buildPages(join(apps, name));
