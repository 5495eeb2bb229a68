import { createHash } from 'node:crypto';
import type { Store } from '@lintel/store';
import { Inject, Injectable } from '@nestjs/common';
import { RateLimiterPostgres } from 'rate-limiter-flexible';
import { STORE } from '../platform/options.js';
import { tooMany } from '../platform/rateLimits.js';

/** Tries in a quarter of an hour. An address may serve a whole office, hence the wider bound. */
export const triesOfAccount = 10;
export const triesOfAddress = 60;
const windowSeconds = 900;

/**
 * Counts tries to sign in, by account and by address, in the database: all API processes count together, and a restart
 * forgets nothing. Counted before the password is looked at, so that many at once do not slip through.
 */
@Injectable()
export class SignInThrottle {
  private readonly accounts: RateLimiterPostgres;
  private readonly addresses: RateLimiterPostgres;

  constructor(@Inject(STORE) private readonly store: Store) {
    this.accounts = limiter(store, 'account', triesOfAccount);
    this.addresses = limiter(store, 'address', triesOfAddress);
  }

  async count(email: string, address: string): Promise<void> {
    try {
      await this.addresses.consume(keyOf(address));
      await this.accounts.consume(keyOf(email));
    } catch (refused) {
      throw tooMany(refused);
    }
    await this.store.pool.query('DELETE FROM sign_in_throttle WHERE expire < $1', [Date.now()]);
  }

  /** A right password is no try: a person who signs in often is not locked out. */
  async forgive(email: string, address: string): Promise<void> {
    await this.accounts.delete(keyOf(email));
    await this.addresses.reward(keyOf(address));
  }
}

/** The table holds no e-mail address in the clear. */
const keyOf = (text: string): string => createHash('sha256').update(text).digest('base64url');

function limiter(store: Store, keyPrefix: string, points: number): RateLimiterPostgres {
  return new RateLimiterPostgres({
    storeClient: store.pool,
    storeType: 'client',
    tableName: 'sign_in_throttle',
    tableCreated: true,
    clearExpiredByTimeout: false,
    keyPrefix,
    points,
    duration: windowSeconds,
  });
}
