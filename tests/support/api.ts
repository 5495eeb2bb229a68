import { createApi, type ApiOptions } from '@lintel/api';
import { hashPassword, newId, type CompanyContext, type Store } from '@lintel/store';
import type { NestFastifyApplication } from '@nestjs/platform-fastify';

export type Role = 'planner' | 'technician' | 'owner' | 'administrator';

export interface Answer {
  status: number;
  // oxlint-disable-next-line typescript/no-explicit-any -- tests read whatever was answered
  body: any;
  headers: Record<string, string | string[] | number | undefined>;
  text: string;
}

export interface Request {
  method: 'GET' | 'POST' | 'PATCH' | 'PUT' | 'DELETE';
  url: string;
  body?: unknown;
  headers?: Record<string, string>;
  remoteAddress?: string;
}

export const password = 'a long enough word';
let passwordHash: Promise<string> | undefined;

/** The API in this process, asked without a network. */
export class TestApi {
  private constructor(readonly app: NestFastifyApplication) {}

  static async open(store: Store, options: Partial<ApiOptions> = {}): Promise<TestApi> {
    return new TestApi(await createApi({
      store, adminFolder: null, logLevel: 'silent', requestsPerMinute: null, strangerRequestsPerMinute: null, certificateLookupsPerMinute: null, ...options,
    }));
  }

  async ask({ method, url, body, headers = {}, remoteAddress }: Request): Promise<Answer> {
    const answer = await this.app.inject({
      method,
      url: url.startsWith('/') ? url : `/api/v1/${url}`,
      headers,
      ...(body === undefined ? {} : { payload: body as object }),
      ...(remoteAddress === undefined ? {} : { remoteAddress }),
    });
    const isJson = /json(;|$)/.test(String(answer.headers['content-type'] ?? ''));
    return {
      status: answer.statusCode, text: answer.payload, headers: answer.headers, body: isJson ? JSON.parse(answer.payload) : null,
    };
  }

  /** Signs in; answers what to ask with from then on. */
  async signIn(email: string, remoteAddress?: string): Promise<Caller> {
    const answer = await this.ask({
      method: 'POST', url: 'session', body: { email, password }, ...(remoteAddress === undefined ? {} : { remoteAddress }),
    });
    if (answer.status !== 200) throw new Error(`sign-in of ${email}: ${answer.status} ${answer.text}`);
    return new Caller(this, String(answer.headers['set-cookie']).split(';', 1)[0]!);
  }

  close(): Promise<void> {
    return this.app.close();
  }
}

/** Somebody who is signed in. */
export class Caller {
  constructor(
    private readonly api: TestApi,
    readonly cookie: string,
  ) {}

  ask(request: Request): Promise<Answer> {
    return this.api.ask({ ...request, headers: { cookie: this.cookie, ...request.headers } });
  }

  get(url: string): Promise<Answer> {
    return this.ask({ method: 'GET', url });
  }

  post(url: string, body: unknown = {}, headers: Record<string, string> = {}): Promise<Answer> {
    return this.ask({ method: 'POST', url, body, headers });
  }

  patch(url: string, version: number, body: unknown): Promise<Answer> {
    return this.ask({ method: 'PATCH', url, body, headers: { 'if-match': `"${version}"` } });
  }

  delete(url: string, version: number): Promise<Answer> {
    return this.ask({ method: 'DELETE', url, headers: { 'if-match': `"${version}"` } });
  }
}

/** An account with the password above. */
export async function addAccount(store: Store, context: CompanyContext, role: Role, email: string, ownerId: string | null = null): Promise<string> {
  passwordHash ??= hashPassword(password);
  const id = newId();
  const { companyId } = context;
  const hash = await passwordHash;
  await store.withCompany(context, (db) =>
    db.account.create({ data: { companyId, id, email, name: `Test ${role}`, role, ownerId, passwordHash: hash } }));
  return id;
}
