import { createHash, randomBytes } from 'node:crypto';
import type { Role } from '@lintel/contract';
import { newId, type CompanyContext, type Store } from '@lintel/store';
import { Inject, Injectable } from '@nestjs/common';
import type { Caller } from '../platform/access.js';
import { STORE } from '../platform/options.js';

const hourMs = 3_600_000;
/** A session ends after so long without use, and after so long in any case. */
export const idleMs = 12 * hourMs;
export const longestMs = 7 * 24 * hourMs;
/** The end is moved at most so often, so that reading costs no write. */
const moveEveryMs = hourMs / 4;

interface SessionRow {
  company_id: string;
  session_id: string;
  account_id: string;
  role: Role;
  owner_id: string | null;
  name: string;
  email: string;
  created_at: Date;
  expires_at: Date;
}

const LOOK_UP = {
  name: 'gate_session',
  text: `SELECT company_id, session_id, account_id, role::text AS role, owner_id, name, email, created_at, expires_at
    FROM gate_session($1)`,
};

/** A token of 256 random bits; the database knows only its SHA-256, so a copy of it opens nothing. */
export const newToken = (): string => randomBytes(32).toString('base64url');
export const hashOf = (token: string): Buffer => createHash('sha256').update(token).digest();

@Injectable()
export class Sessions {
  constructor(@Inject(STORE) private readonly store: Store) {}

  /** Who holds this token; null: nobody, or no longer. */
  async find(token: string): Promise<Caller | null> {
    const found = await this.store.pool.query<SessionRow>({ ...LOOK_UP, values: [hashOf(token)] });
    const row = found.rows[0];
    if (row === undefined) return null;
    const caller = callerOf(row);
    await this.keepAlive(caller, row);
    return caller;
  }

  async start(account: { companyId: string; accountId: string; ownerId: string | null }): Promise<string> {
    const token = newToken();
    const { companyId, accountId } = account;
    await this.store.withCompanySql(webContext(account), async (client) => {
      await client.query('DELETE FROM session WHERE account_id = $1 AND expires_at <= now()', [accountId]);
      await client.query(
        `INSERT INTO session (company_id, id, account_id, token_hash, expires_at)
         VALUES ($1, $2, $3, $4, now() + make_interval(secs => $5))`,
        [companyId, newId(), accountId, hashOf(token), idleMs / 1000],
      );
    });
    return token;
  }

  async end(caller: Caller): Promise<void> {
    await this.store.withCompanySql(caller.context, (client) =>
      client.query('DELETE FROM session WHERE id = $1', [caller.sessionId]));
  }

  private async keepAlive(caller: Caller, row: SessionRow): Promise<void> {
    const now = Date.now();
    const ends = Math.min(now + idleMs, row.created_at.getTime() + longestMs);
    if (ends - row.expires_at.getTime() < moveEveryMs) return;
    await this.store.withCompanySql(caller.context, (client) =>
      client.query('UPDATE session SET expires_at = $2 WHERE id = $1', [caller.sessionId, new Date(ends)]));
  }
}

function callerOf(row: SessionRow): Caller {
  return {
    context: webContext({ companyId: row.company_id, accountId: row.account_id, ownerId: row.owner_id }),
    accountId: row.account_id,
    role: row.role,
    name: row.name,
    email: row.email,
    sessionId: row.session_id,
  };
}

function webContext(account: { companyId: string; accountId: string; ownerId: string | null }): CompanyContext {
  return { ...account, actor: 'web' };
}
