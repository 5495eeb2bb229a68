import { may } from '@lintel/contract';
import { Inject, Injectable, type CanActivate, type ExecutionContext } from '@nestjs/common';
import { Reflector } from '@nestjs/core';
import { ACCESS, type Access, type Caller, type CallerRequest } from '../platform/access.js';
import { API_OPTIONS, type ApiOptions } from '../platform/options.js';
import { RateLimits } from '../platform/rateLimits.js';
import { Refusal } from '../platform/refusal.js';
import { cookieName } from './cookie.js';
import { Sessions } from './sessions.js';

/** Before every handler: who is it, and may he? What he then sees is narrowed by the store. */
@Injectable()
export class SessionGuard implements CanActivate {
  private readonly cookie: string;

  constructor(
    @Inject(Reflector) private readonly reflector: Reflector,
    @Inject(Sessions) private readonly sessions: Sessions,
    @Inject(RateLimits) private readonly limits: RateLimits,
    @Inject(API_OPTIONS) options: ApiOptions,
  ) {
    this.cookie = cookieName(options.secureCookies ?? false);
  }

  async canActivate(execution: ExecutionContext): Promise<boolean> {
    const access = this.reflector.get<Access | undefined>(ACCESS, execution.getHandler());
    if (access === undefined) throw new Error(`${execution.getClass().name}.${execution.getHandler().name} names no access`);
    const request = execution.switchToHttp().getRequest<CallerRequest>();
    if (access.open) {
      await this.limits.ofStranger(request.ip);
      return true;
    }
    const caller = await this.callerOf(request);
    if (access.resource !== null && !may(caller.role, access.does, access.resource)) {
      throw new Refusal('forbidden', `Role ${caller.role} may not ${access.does} ${access.resource}.`);
    }
    request.caller = caller;
    return true;
  }

  private async callerOf(request: CallerRequest): Promise<Caller> {
    const token = request.cookies[this.cookie];
    const caller = token === undefined ? null : await this.sessions.find(token);
    if (caller === null) {
      await this.limits.ofStranger(request.ip);
      throw new Refusal('not-signed-in', 'Sign in first: POST /api/v1/session.');
    }
    await this.limits.ofSession(caller.sessionId);
    return caller;
  }
}
