import { existsSync } from 'node:fs';
import { dirname, join } from 'node:path';
import { fileURLToPath } from 'node:url';
import type { ApiOptions } from './options.js';

/** Where the build leaves the pages, beside this package. */
const builtPages = (app: string): string => join(dirname(fileURLToPath(import.meta.url)), '..', '..', '..', app, 'dist-web');
const ifThere = (folder: string): string | null => (existsSync(folder) ? folder : null);

/** What the environment says of the API; see the project's README. */
export function apiOptionsFrom(environment: NodeJS.ProcessEnv): Omit<ApiOptions, 'store'> {
  return {
    adminFolder: ifThere(environment['LINTEL_ADMIN_FOLDER'] ?? builtPages('admin')),
    tabletFolder: ifThere(environment['LINTEL_TABLET_FOLDER'] ?? builtPages('tablet')),
    logLevel: environment['LOG_LEVEL'] ?? 'info',
    trustProxy: environment['LINTEL_TRUSTED_PROXIES']?.split(',').filter(Boolean) ?? false,
    secureCookies: environment['LINTEL_HTTPS'] === 'true',
    publicUrl: publicUrlFrom(environment['LINTEL_PUBLIC_URL']),
    tiles: tilesFrom(environment['TILE_URL'], environment['TILE_ATTRIBUTION']),
    metricsToken: environment['LINTEL_METRICS_TOKEN'] || null,
  };
}

/** @throws Error for what is no address of tiles, or where nobody is named whose map it is. */
function tilesFrom(url: string | undefined, attribution: string | undefined): NonNullable<ApiOptions['tiles']> | null {
  if (!url) return null;
  const filled = url.replace('{z}', '1').replace('{x}', '1').replace('{y}', '1');
  const host = url.split('/').slice(0, 3).join('/');
  const whole = ['{z}', '{x}', '{y}'].every((place) => url.includes(place) && !host.includes(place));
  if (!whole || /[{}]/.test(filled) || !URL.canParse(filled) || !/^https?:$/.test(new URL(filled).protocol)) {
    throw new Error(`TILE_URL must be an http address with {z}, {x} and {y} in its path, is '${url}'`);
  }
  if (!attribution) throw new Error('TILE_ATTRIBUTION must say whose map TILE_URL serves');
  return { url, attribution };
}

/** @throws Error for what is no web address. */
function publicUrlFrom(given: string | undefined): string | null {
  if (!given) return null;
  if (!URL.canParse(given) || !/^https?:$/.test(new URL(given).protocol)) throw new Error(`LINTEL_PUBLIC_URL must be an http address, is '${given}'`);
  return given;
}
