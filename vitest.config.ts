import { defaultServerConditions } from 'vite';
import { defineConfig } from 'vitest/config';

// Tests read the sources (condition "source"), so no build is needed before a run.
const conditions = ['source', ...defaultServerConditions];

export default defineConfig({
  resolve: { conditions },
  ssr: { resolve: { conditions } },
  test: {
    projects: [
      {
        extends: true,
        test: {
          name: 'unit',
          include: ['tests/{published,engine,contract,ui,tablet}/**/*.spec.{ts,tsx}'],
          testTimeout: 60_000,
        },
      },
      {
        extends: true,
        test: {
          name: 'integration',
          include: ['tests/{integration,cli}/**/*.spec.ts'],
          env: { LINTEL_KEY_SECRET: 'for tests alone, as long as a secret has to be' },
          globalSetup: ['tests/support/database.ts'],
          testTimeout: 60_000,
          hookTimeout: 120_000,
          fileParallelism: false,
        },
      },
      {
        extends: true,
        test: {
          name: 'browser',
          include: ['tests/browser/**/*.spec.ts'],
          globalSetup: ['tests/browser/demoHome.ts'],
          testTimeout: 120_000,
          hookTimeout: 180_000,
          fileParallelism: false,
        },
      },
    ],
  },
});
