import type { Resource, Role } from '@lintel/contract';
import type { CompanyContext } from '@lintel/store';
import { createParamDecorator, SetMetadata, type ExecutionContext } from '@nestjs/common';
import type { FastifyRequest } from 'fastify';

/** Who asks, as the session says. */
export interface Caller {
  context: CompanyContext;
  accountId: string;
  role: Role;
  name: string;
  email: string;
  sessionId: string;
}

export type Access = { open: true } | { open: false; resource: Resource | null; does: 'read' | 'write' };

export const ACCESS = 'lintel:access';

/** Every route says who may use it; one that says nothing is refused. */
export const Allow = (does: 'read' | 'write', resource: Resource) =>
  SetMetadata<string, Access>(ACCESS, { open: false, resource, does });
/** Anybody who is signed in. */
export const AllowSignedIn = () => SetMetadata<string, Access>(ACCESS, { open: false, resource: null, does: 'read' });
/** Anybody at all. */
export const Open = () => SetMetadata<string, Access>(ACCESS, { open: true });

export type CallerRequest = FastifyRequest & { caller?: Caller };

export const CallerOf = createParamDecorator((_: unknown, context: ExecutionContext): Caller => {
  const { caller } = context.switchToHttp().getRequest<CallerRequest>();
  if (caller === undefined) throw new Error('a route that needs a caller was left open');
  return caller;
});
