import { createHash } from 'node:crypto';
import { readdirSync, readFileSync } from 'node:fs';
import react from '@vitejs/plugin-react';
import { defineConfig, type Plugin } from 'vite';

/** Makes the service worker: its template with the list of everything that was built, and a version that follows from it. */
function offlineShell(): Plugin {
  return {
    name: 'lintel-offline-shell',
    apply: 'build',
    generateBundle(_options, bundle) {
      const template = readFileSync(new URL('offlineShell.js', import.meta.url), 'utf8');
      const named = readdirSync(new URL('public', import.meta.url));
      const files = ['./', ...named, ...Object.keys(bundle).filter((name) => name !== 'index.html' && !name.endsWith('.map'))];
      const hash = createHash('sha256').update(template);
      for (const name of named) hash.update(readFileSync(new URL(`public/${name}`, import.meta.url)));
      for (const [name, part] of Object.entries(bundle)) hash.update(name).update(part.type === 'chunk' ? part.code : part.source);
      const source = template
        .replace("'__VERSION__'", JSON.stringify(hash.digest('hex').slice(0, 16)))
        .replace("['__FILES__']", JSON.stringify(files.sort()));
      this.emitFile({ type: 'asset', fileName: 'sw.js', source });
    },
  };
}

// The sources of the house's packages are read directly (condition "source"), so that the pages need no other build.
export default defineConfig({
  base: '/tablet/',
  plugins: [react(), offlineShell()],
  resolve: { conditions: ['source', 'module', 'browser', 'import', 'default'], dedupe: ['react', 'react-dom'] },
  build: { outDir: 'dist-web', emptyOutDir: true, chunkSizeWarningLimit: 400 },
  server: { proxy: { '/api': 'http://127.0.0.1:4600' } },
});
