import { existsSync } from 'node:fs';
import { dirname, join } from 'node:path';
import { fileURLToPath } from 'node:url';
import type { ApiOptions } from './options.js';

/** Where the build leaves the pages, beside this package. */
const BUILT_ADMIN = join(dirname(fileURLToPath(import.meta.url)), '..', '..', '..', 'admin', 'dist-web');

/** What the environment says of the API; see the project's README. */
export function apiOptionsFrom(environment: NodeJS.ProcessEnv): Omit<ApiOptions, 'store'> {
  const adminFolder = environment['LINTEL_ADMIN_FOLDER'] ?? BUILT_ADMIN;
  return {
    adminFolder: existsSync(adminFolder) ? adminFolder : null,
    logLevel: environment['LOG_LEVEL'] ?? 'info',
    trustProxy: environment['LINTEL_TRUSTED_PROXIES']?.split(',').filter(Boolean) ?? false,
    secureCookies: environment['LINTEL_HTTPS'] === 'true',
    metricsToken: environment['LINTEL_METRICS_TOKEN'] || null,
  };
}
