#!/usr/bin/env node
import { existsSync } from 'node:fs';

const main = new URL('../dist/main.js', import.meta.url);
if (existsSync(main)) {
  const { main: run } = await import(main.href);
  process.exitCode = await run(process.argv);
} else {
  process.stderr.write('lintel: not built yet; run: npm run build\n');
  process.exitCode = 1;
}
