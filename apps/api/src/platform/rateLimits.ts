import { Inject, Injectable } from '@nestjs/common';
import { RateLimiterMemory, RateLimiterRes } from 'rate-limiter-flexible';
import { API_OPTIONS, type ApiOptions } from './options.js';
import { Refusal } from './refusal.js';

const perMinuteOfSession = 6000;
const perMinuteOfStranger = 600;

/** How often one session, or one address without a session, may ask this process. Sign-in has a throttle of its own. */
@Injectable()
export class RateLimits {
  private readonly sessions: RateLimiterMemory | null;
  private readonly strangers: RateLimiterMemory | null;

  constructor(@Inject(API_OPTIONS) options: ApiOptions) {
    this.sessions = limiter(options.requestsPerMinute, perMinuteOfSession);
    this.strangers = limiter(options.strangerRequestsPerMinute, perMinuteOfStranger);
  }

  ofSession(sessionId: string): Promise<void> {
    return consume(this.sessions, sessionId);
  }

  ofStranger(address: string): Promise<void> {
    return consume(this.strangers, address);
  }
}

function limiter(given: number | null | undefined, usual: number): RateLimiterMemory | null {
  return given === null ? null : new RateLimiterMemory({ points: given ?? usual, duration: 60 });
}

async function consume(limits: RateLimiterMemory | null, key: string): Promise<void> {
  if (limits === null) return;
  try {
    await limits.consume(key);
  } catch (refused) {
    throw tooMany(refused);
  }
}

/** What the limiter throws is its own record of the refusal, or a true failure. */
export function tooMany(refused: unknown): unknown {
  if (!(refused instanceof RateLimiterRes)) return refused;
  const seconds = Math.max(1, Math.ceil(refused.msBeforeNext / 1000));
  return new Refusal('too-many-requests', `Try again in ${seconds} s.`, { retryAfterSeconds: seconds });
}
