// Makes the Prisma client from prisma/schema when the schema has changed since the last time.
import { createHash } from 'node:crypto';
import { execFileSync } from 'node:child_process';
import { existsSync, readFileSync, readdirSync, writeFileSync } from 'node:fs';
import { createRequire } from 'node:module';
import { dirname, join } from 'node:path';
import { fileURLToPath } from 'node:url';

const root = join(dirname(fileURLToPath(import.meta.url)), '..', '..');
const schemaFolder = join(root, 'prisma', 'schema');
const stamp = join(root, 'packages', 'store', 'src', 'generated', '.stamp');

const hash = createHash('sha256');
for (const name of readdirSync(schemaFolder).sort()) hash.update(name).update(readFileSync(join(schemaFolder, name)));
hash.update(readFileSync(join(root, 'package-lock.json')));
const digest = hash.digest('hex');

if (!existsSync(stamp) || readFileSync(stamp, 'utf8') !== digest) {
  const require = createRequire(import.meta.url);
  const prisma = join(dirname(require.resolve('prisma/package.json')), 'build', 'index.js');
  // Prisma looks for a native schema engine on the network before anything else; generating needs none,
  // and any existing file named here keeps it from looking.
  const env = { ...process.env, PRISMA_SCHEMA_ENGINE_BINARY: process.execPath, CHECKPOINT_DISABLE: '1', PRISMA_HIDE_UPDATE_MESSAGE: '1' };
  try {
    execFileSync(process.execPath, [prisma, 'generate'], { cwd: root, env, stdio: 'pipe' });
  } catch (error) {
    console.error(String(error.stdout ?? ''), String(error.stderr ?? ''));
    process.exit(1);
  }
  writeFileSync(stamp, digest);
}
