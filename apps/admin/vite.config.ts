import react from '@vitejs/plugin-react';
import { defineConfig } from 'vite';

// The sources of the house's packages are read directly (condition "source"), so that the pages need no other build.
export default defineConfig({
  base: './',
  plugins: [react()],
  resolve: { conditions: ['source', 'module', 'browser', 'import', 'default'], dedupe: ['react', 'react-dom'] },
  build: { outDir: 'dist-web', emptyOutDir: true, chunkSizeWarningLimit: 1200 },
  server: { proxy: { '/api': 'http://127.0.0.1:4600' } },
});
