import type { Store } from '@lintel/store';

export interface ApiOptions {
  store: Store;
  /** Folder of the built admin, served at `/`; null: none. */
  adminFolder: string | null;
  /** Folder of the built tablet, served at `/tablet`; left out or null: none. */
  tabletFolder?: string | null;
  /** Level of the log (pino's words); `silent` in tests. */
  logLevel?: string;
  /** Where the log's lines go; left out: standard output. */
  logTo?: { write(line: string): void };
  /**
   * Which proxies in front may say who asks (X-Forwarded-For), as Fastify's `trustProxy`. Left out: none, and the header
   * is ignored.
   */
  trustProxy?: boolean | string | string[];
  /** Whether it is served over https: cookies are Secure then, and browsers are told to stay on https. */
  secureCookies?: boolean;
  /** Requests a minute of one session; null: no limit (benchmarks). */
  requestsPerMinute?: number | null;
  /** Requests a minute of one address without a session; null: no limit. */
  strangerRequestsPerMinute?: number | null;
  /** Look-ups of certificates a minute of one address; null: no limit. */
  certificateLookupsPerMinute?: number | null;
  /** Address under which anybody reaches this installation, e.g. `https://doors.example`; left out: as the request says. */
  publicUrl?: string | null;
  /** Tile server that maps are drawn on, and whom that is owed to; left out or null: none, and nothing is fetched from outside. */
  tiles?: { url: string; attribution: string } | null;
  /** Bearer token for /metrics; null: it answers to the machine itself only. */
  metricsToken?: string | null;
}

/** Injection token of the options. */
export const API_OPTIONS = 'lintel:api-options';
/** Injection token of the store. */
export const STORE = 'lintel:store';

export const apiPrefix = 'api/v1';
