import { mkdirSync, mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { connect, type AddressInfo } from 'node:net';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, afterEach, beforeAll, describe, expect, test } from 'vitest';
import { addAccount, password, TestApi, type Answer } from '../support/api.js';
import { openTestDatabase, type TestDatabase } from '../support/testDatabase.js';
import type { CompanyContext } from '@lintel/store';

let database: TestDatabase;
let company: CompanyContext;
let api: TestApi;
beforeAll(async () => {
  database = await openTestDatabase();
  company = await database.newCompany('Cold Doors');
  await addAccount(database.store, company, 'planner', 'planner@a.example');
  await addAccount(database.store, company, 'planner', 'second@a.example');
  api = await TestApi.open(database.store);
});
afterAll(async () => {
  await api?.close();
  await database?.drop();
});
afterEach(() => database.owner.query('DELETE FROM sign_in_throttle'));

const tryIn = (email: string, word: string, headers: Record<string, string> = {}, remoteAddress = '192.0.2.1', at = api): Promise<Answer> =>
  at.ask({ method: 'POST', url: 'session', body: { email, password: word }, headers, remoteAddress });

describe('sign-in', () => {
  test('answers the account and a cookie that scripts and other sites cannot use', async () => {
    const answer = await tryIn(' Planner@A.example ', password);
    expect(answer.body.account).toMatchObject({ email: 'planner@a.example', role: 'planner', companyName: 'Cold Doors', ownerId: null });
    const cookie = String(answer.headers['set-cookie']);
    expect(cookie).toMatch(/^lintel_session=[\w-]{43}; Max-Age=604800; Path=\/; HttpOnly; SameSite=Strict$/);
    expect(answer.text).not.toMatch(/argon2|hash/i);
  });

  test('over https the cookie is Secure and bound to the host', async () => {
    const secure = await TestApi.open(database.store, { secureCookies: true });
    const answer = await tryIn('planner@a.example', password, {}, '192.0.2.1', secure);
    expect(String(answer.headers['set-cookie'])).toMatch(/^__Host-lintel_session=.*; Secure; SameSite=Strict$/);
    expect(answer.headers['strict-transport-security']).toContain('max-age=31536000');
    await secure.close();
  });

  test('keeps only the SHA-256 of the token', async () => {
    const answer = await tryIn('planner@a.example', password);
    const token = String(answer.headers['set-cookie']).split(/[=;]/)[1]!;
    const { rows } = await database.owner.query('SELECT token_hash FROM session WHERE token_hash = sha256($1)', [Buffer.from(token)]);
    expect(rows.length).toBe(1);
    const { rows: dump } = await database.owner.query('SELECT s::text AS line FROM session s');
    expect(dump.map(({ line }) => line).join()).not.toContain(token);
  });

  test('says the same of an unknown e-mail, a wrong password and a closed account', async () => {
    await addAccount(database.store, company, 'planner', 'closed@a.example');
    await database.owner.query(`UPDATE account SET active = false WHERE email = 'closed@a.example'`);
    const answers = [await tryIn('nobody@a.example', 'x'), await tryIn('planner@a.example', 'x'), await tryIn('closed@a.example', password)];
    expect(answers.map(({ status }) => status)).toEqual([401, 401, 401]);
    const said = answers.map(({ body }) => ({ ...body, requestId: null }));
    expect(said[1]).toEqual(said[0]);
    expect(said[2]).toEqual(said[0]);
  });

  test('does the work of a password check also for an unknown e-mail', async () => {
    // Argon2id takes tens of milliseconds of a processor's time; without it the answer would cost next to nothing.
    const cost = async (email: string): Promise<number> => {
      const before = process.cpuUsage();
      for (let tries = 0; tries < 5; tries++) await tryIn(email, 'x');
      const { user, system } = process.cpuUsage(before);
      await database.owner.query('DELETE FROM sign_in_throttle');
      return user + system;
    };
    await cost('planner@a.example');
    const [known, unknown] = [await cost('planner@a.example'), await cost('nobody@a.example')];
    expect(unknown / known).toBeGreaterThan(0.5);
  });

  test('signing out ends the session at once', async () => {
    const caller = await api.signIn('planner@a.example');
    expect((await caller.get('session')).body.account.email).toBe('planner@a.example');
    const out = await caller.ask({ method: 'DELETE', url: 'session' });
    expect([out.status, String(out.headers['set-cookie'])]).toEqual([204, expect.stringContaining('lintel_session=;')]);
    expect((await caller.get('session')).status).toBe(401);
  });

  test('a session ends 12 hours after its last use and 7 days after its start', async () => {
    const caller = await api.signIn('second@a.example');
    const hours = async (): Promise<number> => {
      const { rows } = await database.owner.query(
        `SELECT round(extract(epoch FROM expires_at - now()) / 3600) AS hours FROM session s JOIN account a ON a.id = s.account_id WHERE a.email = 'second@a.example'`);
      return Number(rows[0].hours);
    };
    const set = (sql: string): Promise<unknown> =>
      database.owner.query(`UPDATE session s SET ${sql} FROM account a WHERE a.id = s.account_id AND a.email = 'second@a.example'`);
    expect(await hours()).toBe(12);
    await set(`expires_at = now() + interval '5 hours'`);
    expect((await caller.get('doors')).status).toBe(200);
    expect(await hours()).toBe(12);
    await set(`created_at = now() - interval '6 days 22 hours', expires_at = now() + interval '1 hour'`);
    expect((await caller.get('doors')).status).toBe(200);
    expect(await hours()).toBe(2);
    await set(`expires_at = now() - interval '1 second'`);
    expect((await caller.get('doors')).status).toBe(401);
  });
});

describe('the throttle', () => {
  test('stops tries at an account, also the right password, and says when to come again', async () => {
    const statuses: number[] = [];
    for (let tries = 0; tries < 12; tries++) statuses.push((await tryIn('planner@a.example', 'x', {}, `198.51.100.${tries}`)).status);
    expect(statuses).toEqual([...Array(10).fill(401), 429, 429]);
    const right = await tryIn('planner@a.example', password, {}, '203.0.113.9');
    expect([right.status, right.body.type]).toEqual([429, 'urn:lintel:problem:too-many-requests']);
    expect(Number(right.headers['retry-after'])).toBeGreaterThan(0);
    expect((await tryIn('second@a.example', password)).status).toBe(200);
  });

  test('is not got round by rotating X-Forwarded-For', async () => {
    const statuses: number[] = [];
    for (let tries = 0; tries < 65; tries++) {
      statuses.push((await tryIn(`nobody${tries}@a.example`, 'x', { 'x-forwarded-for': `203.0.113.${tries}` })).status);
    }
    expect(statuses.slice(0, 60)).toEqual(Array(60).fill(401));
    expect(statuses.slice(60)).toEqual(Array(5).fill(429));
    expect((await tryIn('nobody@a.example', 'x', {}, '192.0.2.77')).status).toBe(401);
  });

  test('behind a proxy that is trusted goes by the address that the proxy saw', async () => {
    const behind = await TestApi.open(database.store, { trustProxy: '10.0.0.1' });
    const said = (forwarded: string, from: string): Promise<Answer> => tryIn('x@a.example', 'x', { 'x-forwarded-for': forwarded }, from, behind);
    const keys = async (): Promise<number> => Number((await database.owner.query(`SELECT count(*) FROM sign_in_throttle WHERE key LIKE 'address%'`)).rows[0].count);
    await said('203.0.113.1', '10.0.0.1');
    await said('203.0.113.2', '10.0.0.1');
    expect(await keys()).toBe(2);
    // From elsewhere, and with an address of the caller's own before the one that the proxy added: one more key each.
    await said('203.0.113.3', '192.0.2.5');
    await said('203.0.113.4', '192.0.2.5');
    expect(await keys()).toBe(3);
    await said('6.6.6.6, 203.0.113.1', '10.0.0.1');
    expect(await keys()).toBe(3);
    await behind.close();
  });

  test('counts tries that come all at once', async () => {
    const answers = await Promise.all(Array.from({ length: 25 }, () => tryIn('planner@a.example', 'x')));
    expect(answers.filter(({ status }) => status === 401).length).toBe(10);
    expect(answers.filter(({ status }) => status === 429).length).toBe(15);
  });

  test('forgives the tries before a right password', async () => {
    for (let round = 0; round < 3; round++) {
      for (let tries = 0; tries < 8; tries++) await tryIn('planner@a.example', 'x');
      expect((await tryIn('planner@a.example', password)).status).toBe(200);
    }
  });
});

describe('limits of requests', () => {
  test('bind a session, and strangers by address', async () => {
    const limited = await TestApi.open(database.store, { requestsPerMinute: 5, strangerRequestsPerMinute: 4 });
    const caller = await limited.signIn('planner@a.example', '192.0.2.10');
    const statuses = [];
    for (let asked = 0; asked < 7; asked++) statuses.push((await caller.get('session')).status);
    expect(statuses).toEqual([200, 200, 200, 200, 200, 429, 429]);
    const strange = [];
    for (let asked = 0; asked < 6; asked++) {
      const headers = { 'x-forwarded-for': `203.0.113.${asked}`, cookie: `lintel_session=${asked}` };
      strange.push((await limited.ask({ method: 'GET', url: 'doors', remoteAddress: '192.0.2.11', headers })).status);
    }
    expect(strange).toEqual([401, 401, 401, 401, 429, 429]);
    await limited.close();
  });
});

describe('requests forged by other pages', () => {
  const forge = async (headers: Record<string, string>, contentType = 'application/json'): Promise<number> => {
    const caller = await api.signIn('planner@a.example');
    return (await caller.ask({ method: 'POST', url: 'owners', body: JSON.stringify({ name: `Owner ${Math.random()}` }), headers: { 'content-type': contentType, host: 'doors.example', ...headers } })).status;
  };
  test('are refused by Sec-Fetch-Site, and by Origin where that is missing', async () => {
    expect(await forge({ 'sec-fetch-site': 'cross-site', origin: 'https://evil.example' })).toBe(403);
    expect(await forge({ 'sec-fetch-site': 'same-site' })).toBe(403);
    expect(await forge({ origin: 'https://evil.example' })).toBe(403);
    expect(await forge({ origin: 'null' })).toBe(403);
    expect(await forge({ 'sec-fetch-site': 'same-origin', origin: 'https://doors.example' })).toBe(201);
    expect(await forge({ origin: 'http://doors.example' })).toBe(201);
    expect(await forge({})).toBe(201);
  });

  test('cannot come as a form', async () => {
    for (const type of ['application/x-www-form-urlencoded', 'text/plain', 'multipart/form-data; boundary=x', 'text/csv']) expect([type, await forge({}, type)]).toEqual([type, 415]);
  });

  test('are refused at sign-in and sign-out as well', async () => {
    expect((await tryIn('planner@a.example', password, { origin: 'https://evil.example', host: 'doors.example' })).body.type).toBe('urn:lintel:problem:other-origin');
    const caller = await api.signIn('planner@a.example');
    expect((await caller.ask({ method: 'DELETE', url: 'session', headers: { 'sec-fetch-site': 'cross-site' } })).status).toBe(403);
  });
});

describe('every answer', () => {
  const checkProblem = (answer: Answer, status: number, code: string): void => {
    expect([answer.status, answer.body?.type, answer.body?.status]).toEqual([status, `urn:lintel:problem:${code}`, status]);
    expect(String(answer.headers['content-type'])).toMatch(/^application\/problem\+json/);
    expect(answer.body.requestId).toBe(answer.headers['x-request-id']);
    expect(answer.headers['content-security-policy']).toContain("default-src 'self'");
  };

  test('that refuses is problem details with the id of the request', async () => {
    const caller = await api.signIn('planner@a.example');
    const json = { 'content-type': 'application/json' };
    checkProblem(await caller.get('nothing'), 404, 'not-found');
    checkProblem(await caller.get('/nothing'), 404, 'not-found');
    const wrongMethod = await caller.ask({ method: 'PUT', url: 'doors', body: {} });
    checkProblem(wrongMethod, 405, 'method-not-allowed');
    expect(wrongMethod.headers['allow']).toBe('GET, HEAD, POST');
    checkProblem(await caller.ask({ method: 'POST', url: 'owners', body: '{"name":', headers: json }), 400, 'bad-request');
    checkProblem(await caller.ask({ method: 'POST', url: 'owners', body: '', headers: json }), 400, 'bad-request');
    checkProblem(await caller.ask({ method: 'POST', url: 'owners', body: '[]', headers: json }), 400, 'bad-request');
    checkProblem(await caller.ask({ method: 'POST', url: 'owners', body: '{"__proto__":{"x":1},"name":"p"}', headers: json }), 400, 'bad-request');
    checkProblem(await caller.ask({ method: 'POST', url: 'owners', body: JSON.stringify({ name: 'x'.repeat(3_000_000) }), headers: json }), 413, 'too-large');
    checkProblem(await caller.ask({ method: 'POST', url: 'owners', body: '<a/>', headers: { 'content-type': 'text/xml' } }), 415, 'not-this-media-type');
    checkProblem(await caller.get('doors/not-an-id'), 404, 'not-found');
    checkProblem(await caller.get('doors/'), 404, 'not-found');
    checkProblem(await api.ask({ method: 'GET', url: 'doors' }), 401, 'not-signed-in');
  });

  test('that is refused before there is a route is problem details too', async () => {
    for (const [url, status, code] of [['/api/v1/%zz', 400, 'bad-request'], [`/api/v1/doors/${'a'.repeat(500)}`, 414, 'address-too-long']] as const) {
      const answer = await api.ask({ method: 'GET', url });
      expect([answer.status, answer.body?.type, answer.body?.requestId]).toEqual([status, `urn:lintel:problem:${code}`, answer.headers['x-request-id']]);
    }
    const listening = await TestApi.open(database.store);
    await listening.app.listen(0, '127.0.0.1');
    const { port } = listening.app.getHttpServer().address() as AddressInfo;
    const say = (raw: string): Promise<string> => new Promise((resolve) => {
      let heard = '';
      const socket = connect(port, '127.0.0.1', () => socket.write(raw));
      socket.on('data', (data) => { heard += String(data); }).on('close', () => resolve(heard));
    });
    const long = await say(`GET /health HTTP/1.1\r\nhost: x\r\ncookie: ${'a'.repeat(20_000)}\r\n\r\n`);
    expect(long).toMatch(/^HTTP\/1\.1 431 .*application\/problem\+json.*urn:lintel:problem:headers-too-large/s);
    expect(await say('NONSENSE\r\n\r\n')).toMatch(/^HTTP\/1\.1 400 .*urn:lintel:problem:bad-request/s);
    await listening.close();
  });

  test('that fails says nothing of the inside', async () => {
    const caller = await api.signIn('planner@a.example');
    await database.owner.query('ALTER VIEW zone_list RENAME TO zone_gone');
    const answer = await caller.get('zones');
    await database.owner.query('ALTER VIEW zone_gone RENAME TO zone_list');
    checkProblem(answer, 500, 'internal-error');
    expect(answer.text).not.toMatch(/zone_list|relation|select/i);
    expect((await caller.get('zones')).status).toBe(200);
  });

  test('binds the browser', async () => {
    const { headers } = await api.ask({ method: 'GET', url: '/health' });
    const policy = String(headers['content-security-policy']);
    for (const rule of ["script-src 'self'", "object-src 'none'", "base-uri 'none'", "frame-ancestors 'none'"]) expect(policy).toContain(rule);
    expect(policy).not.toMatch(/script-src[^;]*unsafe/);
    expect(headers['x-content-type-options']).toBe('nosniff');
    expect(headers['x-frame-options']).toBe('DENY');
    expect(headers['strict-transport-security']).toBeUndefined();
    expect(headers['x-powered-by']).toBeUndefined();
  });
});

describe('the log', () => {
  test('has one line of JSON a request under its id, failures whole, and no secret in any', async () => {
    const lines: string[] = [];
    const logged = await TestApi.open(database.store, { logLevel: 'trace', logTo: { write: (line) => lines.push(line) } });
    const said = await tryIn('planner@a.example', password, { authorization: 'Bearer hush' }, '192.0.2.1', logged);
    const cookie = String(said.headers['set-cookie']).split(';', 1)[0]!;
    const list = await logged.ask({ method: 'GET', url: 'doors?q=whom+I+look+for', headers: { cookie } });
    await database.owner.query('ALTER VIEW zone_list RENAME TO zone_gone');
    const failed = await logged.ask({ method: 'GET', url: 'zones', headers: { cookie } });
    await database.owner.query('ALTER VIEW zone_gone RENAME TO zone_list');
    await logged.close();
    const entries = lines.map((line) => JSON.parse(line) as Record<string, unknown>);
    const of = ({ headers }: Answer) => entries.filter(({ reqId }) => reqId === headers['x-request-id']);
    expect(of(list)).toMatchObject([{ level: 30, method: 'GET', path: '/api/v1/doors', status: 200, msg: 'answered' }]);
    expect(of(failed).map(({ msg }) => msg)).toEqual(['request failed', 'answered']);
    expect(of(failed)[0]).toMatchObject({ level: 50, err: { message: 'relation "zone_list" does not exist' } });
    for (const secret of [password, cookie.split('=')[1]!, 'hush', 'look']) expect(lines.join('')).not.toContain(secret);
  });
});

describe('figures and health', () => {
  test('metrics go to the machine itself, or with the token', async () => {
    await api.ask({ method: 'GET', url: '/health' });
    const local = await api.ask({ method: 'GET', url: '/metrics', remoteAddress: '127.0.0.1' });
    expect(local.text).toMatch(/lintel_http_request_seconds_count\{method="GET",route="\/health",status="200"\} [1-9]/);
    expect((await api.ask({ method: 'GET', url: '/metrics', remoteAddress: '192.0.2.1' })).status).toBe(401);
    const guarded = await TestApi.open(database.store, { metricsToken: 'secret token' });
    expect((await guarded.ask({ method: 'GET', url: '/metrics', remoteAddress: '127.0.0.1' })).status).toBe(401);
    expect((await guarded.ask({ method: 'GET', url: '/metrics', headers: { authorization: 'Bearer secret token' }, remoteAddress: '192.0.2.1' })).status).toBe(200);
    await guarded.close();
  });

  test('ready says no when the database is gone, and health still yes', async () => {
    const other = await openTestDatabase();
    const orphan = await TestApi.open(other.store);
    expect((await orphan.ask({ method: 'GET', url: '/ready' })).body).toEqual({ status: 'ready' });
    await other.drop();
    const answer = await orphan.ask({ method: 'GET', url: '/ready' });
    expect([answer.status, answer.body.type]).toEqual([503, 'urn:lintel:problem:not-ready']);
    expect((await orphan.ask({ method: 'GET', url: '/health' })).status).toBe(200);
    await orphan.close();
  });
});

describe('the admin', () => {
  test('is served with its places, its files kept as long as they may, and nothing beside it', async () => {
    const folder = mkdtempSync(join(tmpdir(), 'lintel-admin-'));
    mkdirSync(join(folder, 'admin', 'assets'), { recursive: true });
    writeFileSync(join(folder, 'admin', 'index.html'), '<!doctype html><title>Lintel</title>');
    writeFileSync(join(folder, 'admin', 'assets', 'main-abc123.js'), 'export {};');
    writeFileSync(join(folder, 'secret.txt'), 'not for the world');
    const serving = await TestApi.open(database.store, { adminFolder: join(folder, 'admin') });
    const get = (url: string): Promise<Answer> => serving.ask({ method: 'GET', url });
    for (const url of ['/', '/doors', '/doors/019ad0a0-0000-7000-8000-000000000000/show']) {
      const page = await get(url);
      expect([url, page.status, page.text, page.headers['cache-control']]).toEqual([url, 200, '<!doctype html><title>Lintel</title>', 'no-cache']);
      expect(page.headers['content-security-policy']).toContain("script-src 'self'");
    }
    const script = await get('/assets/main-abc123.js');
    expect([script.status, script.headers['cache-control']]).toEqual([200, 'public, max-age=31536000, immutable']);
    expect((await get('/assets/gone.js')).status).toBe(404);
    for (const url of ['/../secret.txt', '/%2e%2e/secret.txt', '/..%2fsecret.txt', '/assets/..%2f..%2fsecret.txt', '/assets/%2e%2e/%2e%2e/secret.txt']) {
      expect([url, (await get(url)).text.includes('not for the world')]).toEqual([url, false]);
    }
    const unknown = await get('/api/v1/nothing');
    expect([unknown.status, unknown.body.type]).toEqual([404, 'urn:lintel:problem:not-found']);
    const wrongMethod = await serving.ask({ method: 'PUT', url: '/api/v1/doors', body: {} });
    expect(wrongMethod.status).toBe(405);
    expect((await serving.ask({ method: 'POST', url: '/doors', body: {} })).status).toBe(404);
    expect((await get('/tablet/')).text).toBe('<!doctype html><title>Lintel</title>');
    await serving.close();
    rmSync(folder, { recursive: true });
  });

  test('has the tablet beside it, each with its own files', async () => {
    const folder = mkdtempSync(join(tmpdir(), 'lintel-pages-'));
    for (const name of ['admin', 'tablet']) {
      mkdirSync(join(folder, name));
      writeFileSync(join(folder, name, 'index.html'), `<!doctype html><title>${name}</title>`);
    }
    writeFileSync(join(folder, 'tablet', 'sw.js'), 'self.version = 1;');
    const serving = await TestApi.open(database.store, { adminFolder: join(folder, 'admin'), tabletFolder: join(folder, 'tablet') });
    const get = (url: string): Promise<Answer> => serving.ask({ method: 'GET', url });
    expect((await get('/doors')).text).toContain('<title>admin</title>');
    for (const url of ['/tablet/', '/tablet/door/019ad0a0-0000-7000-8000-000000000000']) {
      expect([url, (await get(url)).text]).toEqual([url, '<!doctype html><title>tablet</title>']);
    }
    const bare = await get('/tablet');
    expect([bare.status, bare.headers['location']]).toEqual([302, '/tablet/']);
    const worker = await get('/tablet/sw.js');
    expect([worker.status, worker.text, worker.headers['cache-control']]).toEqual([200, 'self.version = 1;', 'no-cache']);
    expect((await get('/sw.js')).status).toBe(404);
    expect((await get('/tablet/%2e%2e/admin/index.html')).status).toBe(404);
    await serving.close();
    rmSync(folder, { recursive: true });
  });
});
