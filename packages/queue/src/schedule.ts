import { civilDateAt } from '@lintel/engine';
import { newId } from '@lintel/store';
import pg from 'pg';
import type { QueueJobName } from './registry.js';

/** Hour of the night at which a company is projected anew, and up to which the night counts as that of the day before. */
const NIGHT_HOUR = 2;
const HOUR_MS = 3_600_000;
/** What each company's night asks for. */
const NIGHTLY: readonly QueueJobName[] = ['project-company', 'check-ledger'];
/** Held while the clock's requests are made, so that of several schedulers one makes them. */
const SCHEDULE_LOCK = 4_600_003;

interface Site {
  companyId: string;
  id: string;
  timeZone: string;
}

interface Asked {
  companyId: string;
  job: string;
  payload: Record<string, unknown>;
}

/**
 * Asks for what is to be done by the clock, if nobody has: a sweep of each site on each of its days, a projection of each company
 * and a check of its ledger each night. It goes by what was asked for last and not by timers, so that what fell due while no scheduler ran is made up for
 * at the next look, once. (Of several missed days the latest is enough: a sweep notes all that is overdue by then.)
 */
export class Schedule {
  private readonly pool: pg.Pool;

  constructor(
    relayUrl: string,
    private readonly onError: (error: unknown) => void,
  ) {
    this.pool = new pg.Pool({ connectionString: relayUrl, max: 1, statement_timeout: 30_000, application_name: 'lintel-schedule' });
    this.pool.on('error', onError);
    // A connection that the server ends just after the pool was closed has nobody else to tell.
    this.pool.on('connect', (client) => client.on('error', () => undefined));
  }

  /** One look at the clock. Returns how many requests were made. */
  async look(now: Date): Promise<number> {
    const client = await this.pool.connect();
    try {
      await client.query('BEGIN');
      await client.query('SELECT pg_advisory_xact_lock($1)', [SCHEDULE_LOCK]);
      const { rows: sites } = await client.query<Site>(
        `SELECT company_id AS "companyId", id, time_zone AS "timeZone" FROM site WHERE archived_at IS NULL ORDER BY company_id, id`,
      );
      const asked = [...(await this.sweeps(client, sites, now)), ...(await this.nights(client, sites, now))];
      await client.query(
        `INSERT INTO outbox (company_id, id, job, payload)
         SELECT company_id, id, job, payload::jsonb FROM unnest($1::uuid[], $2::uuid[], $3::text[], $4::text[]) a(company_id, id, job, payload)`,
        [asked.map((row) => row.companyId), asked.map(() => newId()), asked.map((row) => row.job), asked.map((row) => JSON.stringify(row.payload))],
      );
      await client.query('COMMIT');
      return asked.length;
    } catch (error) {
      await client.query('ROLLBACK').catch(() => undefined);
      throw error;
    } finally {
      client.release();
    }
  }

  private async sweeps(client: pg.ClientBase, sites: readonly Site[], now: Date): Promise<Asked[]> {
    const { rows } = await client.query<{ siteId: string; on: string }>(
      `SELECT payload ->> 'siteId' AS "siteId", max(payload ->> 'on') AS "on" FROM outbox WHERE job = 'sweep-inspections' GROUP BY 1`,
    );
    const last = new Map(rows.map((row) => [row.siteId, row.on]));
    const asked: Asked[] = [];
    for (const { companyId, id, timeZone } of sites) {
      const on = this.dateAt(now.getTime(), timeZone);
      if (on !== null && on > (last.get(id) ?? '')) asked.push({ companyId, job: 'sweep-inspections', payload: { siteId: id, on } });
    }
    return asked;
  }

  /** A company's night is that of the zone in which most of its sites lie. */
  private async nights(client: pg.ClientBase, sites: readonly Site[], now: Date): Promise<Asked[]> {
    const { rows } = await client.query<{ companyId: string; job: string; at: Date }>(
      `SELECT company_id AS "companyId", job, max(created_at) AS at FROM outbox WHERE job = ANY ($1) GROUP BY 1, 2`,
      [NIGHTLY],
    );
    const last = new Map(rows.map((row) => [`${row.companyId} ${row.job}`, row.at.getTime()]));
    const asked: Asked[] = [];
    for (const [companyId, timeZone] of zonesOf(sites)) {
      const night = this.dateAt(now.getTime() - NIGHT_HOUR * HOUR_MS, timeZone);
      if (night === null) continue;
      for (const job of NIGHTLY) {
        const before = last.get(`${companyId} ${job}`);
        if (before === undefined || night > (this.dateAt(before - NIGHT_HOUR * HOUR_MS, timeZone) ?? '')) asked.push({ companyId, job, payload: {} });
      }
    }
    return asked;
  }

  /** Null for a zone that this machine does not know: the others must not wait for it. */
  private dateAt(instantMs: number, timeZone: string): string | null {
    try {
      return civilDateAt(instantMs, timeZone);
    } catch (error) {
      this.onError(error);
      return null;
    }
  }

  async close(): Promise<void> {
    await this.pool.end();
  }
}

/** By company, the zone of most of its sites; on a tie the first by name. */
function zonesOf(sites: readonly Site[]): Map<string, string> {
  const counts = new Map<string, Map<string, number>>();
  for (const { companyId, timeZone } of sites) {
    const zones = counts.get(companyId) ?? new Map<string, number>();
    counts.set(companyId, zones.set(timeZone, (zones.get(timeZone) ?? 0) + 1));
  }
  const chosen = new Map<string, string>();
  for (const [companyId, zones] of counts) {
    const [first] = [...zones].sort(([a, n], [b, m]) => m - n || (a < b ? -1 : 1));
    chosen.set(companyId, first![0]);
  }
  return chosen;
}
