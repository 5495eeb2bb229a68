import { createHash, randomBytes } from 'node:crypto';
import type { Store } from '../context.js';
import { newId, type CompanyContext } from '../context.js';
import { writeLedger } from '../ledger/writeLedger.js';
import type pg from 'pg';

const TOKEN_BYTES = 32;
const hashOf = (token: string): Buffer => createHash('sha256').update(token).digest();

/** Makes a secret address for a technician's calendar. The token is told this once: only its hash is kept. */
export async function createCalendarFeed(client: pg.ClientBase, context: CompanyContext, technicianId: string): Promise<{ id: string; token: string } | null> {
  const known = await client.query('SELECT FROM technician WHERE company_id = $1 AND id = $2 AND archived_at IS NULL', [context.companyId, technicianId]);
  if (known.rowCount === 0) return null;
  const id = newId();
  const token = randomBytes(TOKEN_BYTES).toString('base64url');
  await client.query('INSERT INTO calendar_feed (company_id, id, technician_id, token_hash) VALUES ($1, $2, $3, $4)', [context.companyId, id, technicianId, hashOf(token)]);
  await writeLedger(client, context, { action: 'calendar-feed-made', subjectKind: 'calendar-feed', subjectId: id, detail: { technicianId } });
  return { id, token };
}

/** @returns whether there was one to revoke. */
export async function revokeCalendarFeed(client: pg.ClientBase, context: CompanyContext, id: string): Promise<boolean> {
  const { rowCount } = await client.query('UPDATE calendar_feed SET revoked_at = now() WHERE company_id = $1 AND id = $2 AND revoked_at IS NULL', [context.companyId, id]);
  if (rowCount === 0) return false;
  await writeLedger(client, context, { action: 'calendar-feed-revoked', subjectKind: 'calendar-feed', subjectId: id });
  return true;
}

export interface FeedVisit {
  id: string;
  siteName: string;
  address: string | null;
  latitude: number | null;
  longitude: number | null;
  startAt: Date;
  leaveAt: Date;
  publishedAt: Date;
  items: { kind: string; doorName: string; title: string }[];
}

/** Days back for which a calendar still shows visits. */
const DAYS_BACK = 30;

/** What a calendar's secret token opens: a technician's published visits; null where it opens nothing (any longer). */
export async function readCalendarFeed(store: Store, token: string): Promise<{ technician: string; visits: FeedVisit[] } | null> {
  const { rows } = await store.pool.query<{ company_id: string; technician_id: string; name: string }>('SELECT * FROM gate_calendar_feed($1)', [hashOf(token)]);
  const [feed] = rows;
  if (feed === undefined) return null;
  const context: CompanyContext = { companyId: feed.company_id, accountId: feed.technician_id, actor: 'calendar', ownerId: null };
  const visits = await store.withCompanySql(context, (client) =>
    client.query<FeedVisit>(
      `SELECT v.id, s.name AS "siteName", s.address, s.latitude::float8 AS latitude, s.longitude::float8 AS longitude, v.start_at AS "startAt",
         v.leave_at AS "leaveAt", v.published_at AS "publishedAt", v.items
       FROM route_visit v JOIN site s ON s.company_id = v.company_id AND s.id = v.site_id
       WHERE v.company_id = $1 AND v.technician_id = $2 AND v.published_at IS NOT NULL AND v.leave_at > now() - make_interval(days => $3)
       ORDER BY v.start_at LIMIT 1000`,
      [feed.company_id, feed.technician_id, DAYS_BACK],
    ),
  );
  return { technician: feed.name, visits: visits.rows };
}
