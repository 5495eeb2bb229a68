// Builds the admin's pages into dist-web, unless nothing that they are made of has changed since the last time.
import { createHash } from 'node:crypto';
import { existsSync, readdirSync, readFileSync, writeFileSync } from 'node:fs';
import { dirname, join, relative } from 'node:path';
import { fileURLToPath } from 'node:url';

const here = dirname(fileURLToPath(import.meta.url));
const root = join(here, '..', '..');
const stampFile = join(here, 'dist-web', '.stamp');

const sources = [
  join(here, 'src'),
  join(here, 'public'),
  join(here, 'index.html'),
  join(here, 'vite.config.ts'),
  join(root, 'packages', 'ui', 'src'),
  join(root, 'packages', 'contract', 'src'),
  join(root, 'packages', 'engine', 'src'),
  join(root, 'package-lock.json'),
];

function filesUnder(path) {
  const listed = readdirSync(path, { withFileTypes: true, recursive: true });
  return listed.filter((entry) => entry.isFile()).map((entry) => join(entry.parentPath ?? entry.path, entry.name));
}

function stamp() {
  const hash = createHash('sha256');
  for (const source of sources) {
    const files = /\.\w+$/.test(source) ? [source] : filesUnder(source).sort();
    for (const file of files) hash.update(relative(root, file)).update('\0').update(readFileSync(file)).update('\0');
  }
  return hash.digest('hex');
}

const wanted = stamp();
if (existsSync(stampFile) && readFileSync(stampFile, 'utf8') === wanted) {
  process.exit(0);
}
// Whoever calls may stand in a test or on a developer's desk: the pages are always built for use.
process.env.NODE_ENV = 'production';
const { build } = await import('vite');
await build({ root: here, configFile: join(here, 'vite.config.ts'), logLevel: 'warn' });
writeFileSync(stampFile, wanted);
