#!/usr/bin/env node
import { existsSync } from 'node:fs';

const main = new URL('../dist/main.js', import.meta.url);
let code = 1;
if (existsSync(main)) {
  const { main: run } = await import(main.href);
  code = await run(process.argv);
} else {
  process.stderr.write('lintel: not built yet; run: npm run build\n');
}
// Everything is closed by now, but the schema engine leaves a timer of ten seconds behind that would hold the process. A pipe
// takes what was written only bit by bit: it is waited for.
await Promise.all([process.stdout, process.stderr].map((stream) => new Promise((resolve) => stream.write('', resolve))));
process.exit(code);
