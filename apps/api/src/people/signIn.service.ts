import type { Role, SignedIn, SignIn } from '@lintel/contract';
import { hashPassword, verifyPassword, writeLedger, type CompanyContext, type Store } from '@lintel/store';
import { Inject, Injectable } from '@nestjs/common';
import type { Caller } from '../platform/access.js';
import { STORE } from '../platform/options.js';
import { Refusal } from '../platform/refusal.js';
import { newToken, Sessions } from './sessions.js';
import { SignInThrottle } from './signInThrottle.js';

interface AccountRow {
  company_id: string;
  id: string;
  role: Role;
  owner_id: string | null;
  name: string;
  password_hash: string;
  active: boolean;
}

@Injectable()
export class SignInService {
  /** Checked where there is no such account, so that the answer takes as long as for a wrong password. */
  private readonly decoyHash = hashPassword(newToken());

  constructor(
    @Inject(STORE) private readonly store: Store,
    @Inject(Sessions) private readonly sessions: Sessions,
    @Inject(SignInThrottle) private readonly throttle: SignInThrottle,
  ) {}

  async signIn(given: SignIn, address: string): Promise<{ token: string; account: SignedIn['account'] }> {
    await this.throttle.count(given.email, address);
    const found = await this.store.pool.query<AccountRow>(
      'SELECT company_id, id, role::text AS role, owner_id, name, password_hash, active FROM gate_account($1)', [given.email]);
    const row = found.rows[0];
    const right = await verifyPassword(row?.password_hash ?? (await this.decoyHash), given.password);
    if (row === undefined || !right || !row.active) throw new Refusal('sign-in-refused', 'E-mail or password is wrong.');
    await this.throttle.forgive(given.email, address);
    const ids = { companyId: row.company_id, accountId: row.id, ownerId: row.owner_id };
    const token = await this.sessions.start(ids);
    await this.note({ ...ids, actor: 'web' });
    const companyName = await this.companyName({ ...ids, actor: 'web' });
    return {
      token,
      account: { id: row.id, name: row.name, email: given.email, role: row.role, ownerId: row.owner_id, companyId: row.company_id, companyName },
    };
  }

  async describe({ context, accountId, name, email, role }: Caller): Promise<SignedIn['account']> {
    const companyName = await this.companyName(context);
    return { id: accountId, name, email, role, ownerId: context.ownerId, companyId: context.companyId, companyName };
  }

  private companyName(context: CompanyContext): Promise<string> {
    return this.store.withCompanySql(context, async (client) => {
      const found = await client.query<{ name: string }>('SELECT name FROM company WHERE id = $1', [context.companyId]);
      return found.rows[0]?.name ?? '';
    });
  }

  /** In the company's own scope: an owner's session may not write the company's books. */
  private note(context: CompanyContext): Promise<void> {
    return this.store.withCompanySql({ ...context, ownerId: null }, (client) =>
      writeLedger(client, context, { action: 'signed-in', subjectKind: 'account', subjectId: context.accountId }));
  }
}
