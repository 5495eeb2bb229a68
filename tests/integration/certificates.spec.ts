import { createHash, createPublicKey, verify } from 'node:crypto';
import { checkCertificate, issueCertificate, newId } from '@lintel/store';
import { getDocument } from 'pdfjs-dist/legacy/build/pdf.mjs';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { TestApi } from '../support/api.js';
import { openApiWorld, type ApiWorld } from '../support/apiWorld.js';
import { completeInspection } from '../support/inspection.js';
import { pdfPages } from '../support/pdf.js';

let world: ApiWorld;
let instrumentId: string;
/** Two inspections of the fleet's door, the first passed long before the second; one failed commissioning of the other owner's door. */
let first: string;
let second: string;
let failed: string;

const certificateOf = async (workOrderId: string): Promise<{ id: string; number: string; [field: string]: unknown }> => {
  const { body } = await world.callers.administrator.get(`certificates?workOrderId=${workOrderId}`);
  return body.items[0];
};

beforeAll(async () => {
  world = await openApiWorld();
  const { company, database: { store }, accountIds, fleet, otherOwner, taskId } = world;
  const { companyId } = company;
  const accountId = accountIds.technician;
  instrumentId = newId();
  await store.withCompany(company, async (db) => {
    await db.instrument.create({ data: {
      companyId, id: instrumentId, kind: 'force_gauge', name: 'Gauge 1', serial: 'G-77', samplingHertz: 500, accuracyPercent: 2, rangeFromNewton: 10,
      rangeToNewton: 2500, springNewtonPerMm: 500, discMm: 80,
    } });
    await db.calibration.create({ data: {
      companyId, id: newId(), instrumentId, calibratedOn: new Date('2026-01-10'), dueOn: new Date('2027-01-10'), laboratory: 'Test laboratory', certificateNumber: 'C-1',
    } });
    await db.competence.create({ data: {
      companyId, id: newId(), accountId, kind: 'safety_inspection', evidence: 'Course 5', issuer: 'Training house', validFrom: new Date('2020-01-01'), validUntil: new Date('2099-12-31'),
    } });
  });
  first = await completeInspection({ store, context: company, accountId, doorId: fleet.doorId, taskId, instrumentId });
  second = await completeInspection({ store, context: company, accountId, doorId: fleet.doorId, taskId, instrumentId });
  failed = await completeInspection({ store, context: company, accountId, doorId: otherOwner.doorId, kind: 'commissioning', failing: true, instrumentId });
});
afterAll(() => world.close());

describe('a completed inspection', () => {
  it('has its certificate, with everything around it, sealed and in the ledger', async () => {
    const { id, number } = await certificateOf(second);
    const { body } = await world.callers.technician.get(`certificates/${id}`);
    expect(body).toMatchObject({ number, kind: 'inspection', passed: true, state: 'valid', doorId: world.fleet.doorId, personName: 'Test technician' });
    const { content, seal } = body.sealed;
    expect(content).toMatchObject({
      number, company: { name: 'Company A' }, site: { name: 'Site' }, door: { name: 'F-01' }, passed: true,
      person: { name: 'Test technician', competences: [{ kind: 'safety-inspection', evidence: 'Course 5', validUntil: '2099-12-31' }] },
      nextDue: { months: 12, source: 'test' },
      forceTests: [{ outcome: 'passed', instrument: { name: 'Gauge 1', serial: 'G-77', calibration: { on: '2026-01-10', laboratory: 'Test laboratory', certificate: 'C-1' } } }],
    });
    // Every function test of the one safety device, with what has to happen and who says so.
    expect(content.devices).toMatchObject([{ position: 'Safety beam', device: 'light-beam', outcome: 'passed' }]);
    for (const check of content.devices[0].checks) expect(check).toMatchObject({ outcome: 'passed', criterion: expect.any(String), source: expect.any(String) });
    expect(content.forceTests[0].points).toHaveLength(9);
    expect(content.forceTests[0].points[0].curves).toHaveLength(3);
    const { rows } = await world.database.owner.query(`SELECT detail FROM ledger_entry WHERE action = 'certificate-issued' AND subject_id = $1`, [id]);
    expect(rows).toEqual([{ detail: expect.objectContaining({ number, hash: seal.hash, keyId: content.keyId }) }]);
  });

  it('has one certificate, however often it is asked for; a work order of another kind or not completed has none', async () => {
    const { company, database: { store } } = world;
    const again = await store.withCompany(company, (db) => issueCertificate(db, company, first));
    expect(again.number).toBe((await certificateOf(first)).number);
    await expect(store.withCompany(company, (db) => issueCertificate(db, company, newId()))).rejects.toThrow(/no work order/);
    const { rows } = await world.database.owner.query(`SELECT id FROM work_order WHERE kind = 'corrective'`);
    expect(rows.length).toBeGreaterThan(0);
    await expect(store.withCompany(company, (db) => issueCertificate(db, company, rows[0].id))).rejects.toThrow(/no work order|nothing to certify|not completed/);
  });

  it('that was not passed says so, and promises no next date', async () => {
    const { id } = await certificateOf(failed);
    const { body } = await world.callers.administrator.get(`certificates/${id}`);
    expect(body).toMatchObject({ kind: 'commissioning', passed: false, state: 'valid', nextDueOn: null });
    expect(body.sealed.content).toMatchObject({ passed: false, nextDue: null, findings: [{ severity: 'unsafe', text: 'Does not stop' }] });
    expect(body.sealed.content.devices[0].outcome).toBe('failed');
  });
});

describe('an inspection completed while nothing could be signed', () => {
  it('stands all the same, is listed, and gets its certificate later, once, by an administrator', async () => {
    const { callers, company, accountIds, otherOwner, database: { store, owner } } = world;
    const secret = process.env['LINTEL_KEY_SECRET']!;
    process.env['LINTEL_KEY_SECRET'] = 'too short';
    let order: string;
    try {
      order = await completeInspection({ store, context: company, accountId: accountIds.technician, doorId: otherOwner.doorId, instrumentId });
      expect(await certificateOf(order)).toBeUndefined();
      const refused = await callers.administrator.post('certificates/missing', {});
      expect([refused.status, refused.body.detail]).toEqual([409, expect.stringContaining('LINTEL_KEY_SECRET')]);
    } finally {
      process.env['LINTEL_KEY_SECRET'] = secret;
    }
    for (const caller of ['planner', 'technician', 'owner'] as const) {
      expect((await callers[caller].get('certificates/missing')).status).toBe(403);
      expect((await callers[caller].post('certificates/missing', {})).status).toBe(403);
    }
    const { body } = await callers.administrator.get('certificates/missing');
    expect(body.items).toMatchObject([{ workOrderId: order }]);
    const issued = await callers.administrator.post('certificates/missing', {});
    expect(issued.body.items).toMatchObject([{ workOrderId: order, number: expect.any(String) }]);
    expect(await certificateOf(order)).toMatchObject({ number: issued.body.items[0].number, passed: true });
    expect((await callers.administrator.post('certificates/missing', {})).body.items).toEqual([]);
    const { rows } = await owner.query(
      `SELECT action, account_id FROM ledger_entry WHERE detail->>'workOrderId' = $1 OR (action LIKE 'certificate-%' AND subject_id = $1::uuid) ORDER BY sequence`, [order]);
    expect(rows).toEqual([
      { action: 'certificate-not-issued', account_id: accountIds.technician },
      { action: 'certificate-issued', account_id: accountIds.administrator },
    ]);
  });
});

describe('the seal', () => {
  it('agrees with a second implementation that knows nothing of the first', async () => {
    const { id } = await certificateOf(second);
    const { text } = await world.callers.owner.get(`certificates/${id}/file`);
    const { content, seal } = JSON.parse(text);
    // RFC 8785 for values without fractions that print otherwise: keys in UTF-16 order, no blanks. Written for this test alone.
    const canonical = (value: unknown): string => {
      if (Array.isArray(value)) return `[${value.map(canonical).join(',')}]`;
      if (typeof value !== 'object' || value === null) return JSON.stringify(value);
      const record = value as Record<string, unknown>;
      return `{${Object.keys(record).sort().map((key) => `${JSON.stringify(key)}:${canonical(record[key])}`).join(',')}}`;
    };
    const bytes = Buffer.from(canonical(content), 'utf8');
    expect(createHash('sha256').update(bytes).digest('hex')).toBe(seal.hash);
    const key = createPublicKey(seal.publicKey);
    expect(verify(null, bytes, key, Buffer.from(seal.signature, 'base64'))).toBe(true);
    expect(createHash('sha256').update(key.export({ type: 'spki', format: 'der' })).digest('hex')).toBe(content.keyId);
    expect(checkCertificate(text).faults).toEqual([]);
  });

  it('lies in the paper, byte for byte, and the paper says what it says', async () => {
    const { id, number } = await certificateOf(second);
    const answer = await world.api.app.inject({ url: `/api/v1/certificates/${id}/paper`, headers: { cookie: world.callers.owner.cookie, host: 'doors.example' } });
    expect(answer.headers).toMatchObject({ 'content-type': 'application/pdf', 'content-disposition': `attachment; filename="certificate-${number}.pdf"` });
    const task = getDocument({ data: new Uint8Array(answer.rawPayload), verbosity: 0 });
    const attachments = (await (await task.promise).getAttachments()) as Record<string, { content: Uint8Array }>;
    await task.destroy();
    const [attached] = Object.values(attachments);
    expect(Buffer.from(attached!.content).toString('utf8')).toBe((await world.callers.owner.get(`certificates/${id}/file`)).text);
    const pages = (await pdfPages(answer.rawPayload)).join(' ');
    for (const text of ['PASSED', number, 'F-01', 'Test technician', 'Course 5', 'Gauge 1', 'C-1', 'Safety beam', `http://doors.example/certificates/${number}`]) expect(pages).toContain(text);
  });

  it('is made with a key whose private half no answer and no list holds, and no owner can read', async () => {
    const { callers, company, fleet, database: { store, owner } } = world;
    const keys = await callers.owner.get('certificate-keys');
    expect(Object.keys(keys.body.items[0]).sort()).toEqual(['createdAt', 'fingerprint', 'id', 'publicKey', 'retiredAt']);
    const pem = await callers.planner.get(`certificate-keys/${keys.body.items[0].id}/pem`);
    expect(pem.text).toBe(keys.body.items[0].publicKey);
    const asOwner = { ...company, ownerId: fleet.ownerId };
    expect(await store.withCompany(asOwner, (db) => db.companyKeySecret.count())).toBe(0);
    expect(await store.withCompany(world.otherCompany, (db) => db.companyKeySecret.count())).toBe(0);
    // At rest it is enciphered: the DER form of an Ed25519 private key (RFC 8410) has its prefix nowhere.
    const { rows } = await owner.query<{ sealed: Buffer }>('SELECT sealed FROM company_key_secret');
    expect(rows).toHaveLength(1);
    expect(rows[0]!.sealed.includes(Buffer.from('302e020100300506032b6570', 'hex'))).toBe(false);
  });

  it('outlives its key: after a rotation old ones verify as ever, new ones by the new key; only an administrator rotates', async () => {
    const { callers, company, accountIds, otherOwner, database: { store } } = world;
    expect((await callers.planner.post('certificate-keys/rotate', { reason: 'test' })).status).toBe(403);
    expect((await callers.administrator.post('certificate-keys/rotate', {})).status).toBe(400);
    const rotated = await callers.administrator.post('certificate-keys/rotate', { reason: 'the yearly change' });
    expect(rotated.status).toBe(200);
    const old = await certificateOf(second);
    expect(checkCertificate((await callers.planner.get(`certificates/${old.id}/file`)).text).faults).toEqual([]);
    const order = await completeInspection({ store, context: company, accountId: accountIds.technician, doorId: otherOwner.doorId, instrumentId });
    const fresh = await certificateOf(order);
    expect(fresh['keyId']).toBe(rotated.body.fingerprint);
    expect(fresh['keyId']).not.toBe(old['keyId']);
    expect(checkCertificate((await callers.planner.get(`certificates/${fresh.id}/file`)).text).faults).toEqual([]);
  });
});

describe('who sees certificates', () => {
  it('an owner those of its own doors alone, in lists, files, papers and bundles; another company none', async () => {
    const { callers, fleet, otherOwner } = world;
    const own = await callers.owner.get('certificates?sort=issuedAt');
    expect(own.body.items.map((one: { doorId: string }) => one.doorId)).toEqual([fleet.doorId, fleet.doorId]);
    const foreign = await certificateOf(failed);
    for (const path of ['', '/file', '/paper']) expect((await callers.owner.get(`certificates/${foreign.id}${path}`)).status).toBe(404);
    const bundle = await callers.owner.get(`certificates/bundle?siteId=${fleet.siteId}`);
    const lines = bundle.text.trimEnd().split('\n');
    expect(lines).toHaveLength(2);
    for (const line of lines) expect(checkCertificate(line).faults).toEqual([]);
    expect((await callers.owner.get(`certificates/bundle?siteId=${otherOwner.siteId}`)).text).toBe('');
    expect((await world.api.ask({ method: 'GET', url: 'certificates' })).status).toBe(401);
  });

  it('can be filtered by what planners ask for', async () => {
    const { callers, fleet, otherOwner } = world;
    const numbers = async (query: string): Promise<number> => (await callers.planner.get(`certificates?${query}`)).body.items.length;
    expect(await numbers(`doorId=${fleet.doorId}&state=superseded`)).toBe(1);
    expect(await numbers(`ownerId=${otherOwner.ownerId}&passed=false`)).toBe(1);
    expect(await numbers(`siteId=${fleet.siteId}&inspectedOnFrom=2000-01-01&inspectedOnTo=2000-12-31`)).toBe(0);
    expect((await callers.planner.get('certificates?state=lost')).status).toBe(400);
  });
});

describe('the public page', () => {
  const look = (number: string, headers: Record<string, string> = { accept: 'application/json' }) => world.api.ask({ method: 'GET', url: `/certificates/${number}`, headers });

  it('says valid, superseded, withdrawn or unknown, without signing in, and what the paper says', async () => {
    const [older, newer] = [await certificateOf(first), await certificateOf(second)];
    expect((await look(newer.number)).body).toMatchObject({ state: 'valid', number: newer.number, sealed: { content: { door: { name: 'F-01' } } } });
    // As somebody may type it: small letters, no hyphens, O for 0.
    expect((await look(newer.number.toLowerCase().replaceAll('-', '').replaceAll('0', 'o'))).body.state).toBe('valid');
    expect((await look(older.number)).body.state).toBe('superseded');
    expect((await look(newer.number)).headers['cache-control']).toBe('no-store');
    const text = (await look(newer.number)).text;
    for (const inside of [world.company.companyId, world.fleet.doorId, newer.id]) expect(text).not.toContain(inside);
  });

  it('says that one was withdrawn, by an administrator with a reason that it keeps to itself; then the one before stands again', async () => {
    const { callers } = world;
    const [older, newer] = [await certificateOf(first), await certificateOf(second)];
    expect((await callers.planner.post(`certificates/${newer.id}/withdraw`, { reason: 'x' })).status).toBe(403);
    expect((await callers.administrator.post(`certificates/${newer.id}/withdraw`, { reason: ' ' })).body.errors[0].field).toBe('reason');
    const done = await callers.administrator.post(`certificates/${newer.id}/withdraw`, { reason: 'Gauge found out of true' });
    expect(done.body).toMatchObject({ state: 'withdrawn', withdrawnReason: 'Gauge found out of true' });
    expect((await callers.administrator.post(`certificates/${newer.id}/withdraw`, { reason: 'again' })).status).toBe(409);
    const answer = await look(newer.number);
    expect(answer.body).toMatchObject({ state: 'withdrawn', withdrawnOn: expect.any(String) });
    expect(answer.text).not.toContain('Gauge found out of true');
    expect((await look(older.number)).body.state).toBe('valid');
    const { rows } = await world.database.owner.query(`SELECT detail FROM ledger_entry WHERE action = 'certificate-withdrawn'`);
    expect(rows).toEqual([{ detail: { number: newer.number, reason: 'Gauge found out of true' } }]);
  });

  it('keeps one of another task valid beside a newer one, until the door does not pass, whatever was tested', async () => {
    const { company, database: { store }, accountIds, fleet, taskId } = world;
    const inspect = (more: { taskId?: string; failing?: boolean }) => completeInspection({ store, context: company, accountId: accountIds.technician, doorId: fleet.doorId, ...more, instrumentId });
    const stateOf = async (order: string) => (await certificateOf(order))['state'];
    const yearly = await inspect({ taskId });
    const byHand = await inspect({});
    expect([await stateOf(yearly), await stateOf(byHand)]).toEqual(['valid', 'valid']);
    const unsafe = await inspect({ failing: true });
    expect([await stateOf(yearly), await stateOf(byHand), await stateOf(unsafe)]).toEqual(['superseded', 'superseded', 'valid']);
  });

  it('tells an unknown number, a mistyped one and nonsense alike', async () => {
    const { number } = await certificateOf(first);
    const other = `${number.slice(0, -1)}${number.endsWith('0') ? '1' : '0'}`;
    for (const wrong of [other, 'nonsense', "'; DROP TABLE door; --", '%00', number.slice(0, 20)]) {
      const answer = await look(encodeURIComponent(wrong));
      expect(answer.status).toBe(404);
      expect(answer.body).toMatchObject({ state: 'unknown', sealed: null, withdrawnOn: null });
    }
  });

  it('is plain HTML under a policy that lets nothing else in, and carries names without running them', async () => {
    const { number } = await certificateOf(first);
    const answer = await look(number, { accept: 'text/html,application/xhtml+xml,*/*;q=0.8' });
    expect(answer.headers['content-type']).toContain('text/html');
    const policy = String(answer.headers['content-security-policy']);
    expect(policy).toMatch(/^default-src 'none'; style-src 'sha256-[^']+'; base-uri 'none'; form-action 'none'; frame-ancestors 'none'$/);
    const style = /<style>([\s\S]*)<\/style>/.exec(answer.text)![1]!;
    expect(policy).toContain(createHash('sha256').update(style).digest('base64'));
    expect(answer.text).not.toMatch(/<script|javascript:| on\w+=/);
    expect(answer.headers).toMatchObject({ 'referrer-policy': 'no-referrer', 'x-robots-tag': 'noindex, nofollow', 'x-content-type-options': 'nosniff' });
    const evil = await look(encodeURIComponent('<img src=x onerror=alert(1)>'), { accept: 'text/html' });
    expect(evil.text).toContain('&lt;img');
    expect(evil.text).not.toContain('<img');
  });

  it('is asked so often a minute and no more', async () => {
    const api = await TestApi.open(world.database.store, { certificateLookupsPerMinute: 3 });
    const statuses: number[] = [];
    for (let n = 0; n < 5; n += 1) statuses.push((await api.ask({ method: 'GET', url: '/certificates/nonsense', remoteAddress: '203.0.113.9' })).status);
    expect(statuses).toEqual([404, 404, 404, 429, 429]);
    expect((await api.ask({ method: 'GET', url: '/certificates/nonsense', remoteAddress: '203.0.113.10' })).status).toBe(404);
    await api.close();
  });
});
