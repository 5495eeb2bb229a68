import { competenceOn, defaultForceLimits, calibrationGoodThrough, calibrationState } from '@lintel/engine';
import { competenceRecords, forceGauges } from '@lintel/store';
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import { openApiWorld, type ApiWorld } from '../support/apiWorld.js';

const DAY_MS = 86_400_000;
const day = (days: number): string => new Date(Date.now() + days * DAY_MS).toISOString().slice(0, 10);

/** A gauge as EN 12445 section 5.1 asks for, at second hand. */
const figures = { samplingHertz: 1000, accuracyPercent: 5, rangeFromNewton: 25, rangeToNewton: 2000, springNewtonPerMm: 500, discMm: 80 };

let world: ApiWorld;
beforeAll(async () => {
  world = await openApiWorld();
});
afterAll(() => world?.close());

const ledgerOf = async (subjectKind: string): Promise<{ action: string; detail: Record<string, unknown> }[]> =>
  (await world.callers.administrator.get(`ledger?subjectKind=${subjectKind}&sort=at&limit=100`)).body.items;

describe('force limits', () => {
  const set = (body: object, version: number, role: 'administrator' | 'planner' | 'technician' | 'owner' = 'administrator') =>
    world.callers[role].post('force-limits', body, { 'if-match': `"${version}"` });

  test('are the program’s own until somebody changes one', async () => {
    for (const role of ['administrator', 'planner', 'technician', 'owner'] as const) {
      const { status, body, headers } = await world.callers[role].get('force-limits');
      expect([status, headers['etag'], body.madeAt], role).toEqual([200, '"1"', null]);
      expect(body.table).toEqual(defaultForceLimits);
    }
  });

  test('are the administrator’s alone to change, under the version', async () => {
    for (const role of ['planner', 'technician', 'owner'] as const) expect((await set({ row: 'static', value: 140 }, 1, role)).status).toBe(403);
    expect((await world.callers.administrator.post('force-limits', { row: 'static', value: 140 })).status).toBe(428);
    expect((await set({ row: 'static', value: 140 }, 1)).body.table).toMatchObject({ version: 2, rows: { static: { value: 140 } } });
    const late = await set({ row: 'static', value: 130 }, 1);
    expect([late.status, late.body.current.table.version]).toEqual([412, 2]);
  });

  test('are never loosened silently: a looser value needs a reason, and table and ledger keep it', async () => {
    const silent = await set({ row: 'peak-vertical-near', value: 450 }, 2);
    expect([silent.status, silent.body.errors]).toEqual([400, [{ field: 'reason', message: 'is needed: the value is looser than the present one' }]]);
    expect((await set({ row: 'peak-vertical-near', value: 450, reason: '   ' }, 2)).status).toBe(400);
    expect((await set({ row: 'gauge-sampling', value: 100 }, 2)).body.errors[0].field).toBe('reason');
    expect((await world.callers.planner.get('force-limits')).body.table.version).toBe(2);
    const done = await set({ row: 'peak-vertical-near', value: 450, reason: 'Test bench' }, 2);
    expect(done.body).toMatchObject({ accountName: 'Test administrator', table: { version: 3 } });
    expect(done.body.table.changes.at(-1)).toMatchObject({
      row: 'peak-vertical-near', from: 400, to: 450, loosened: true, reason: 'Test bench', by: 'Test administrator',
    });
    expect((await ledgerOf('force-limits')).map(({ action, detail }) => [action, detail['from'], detail['to'], detail['reason']])).toEqual([
      ['force-limit-tightened', 150, 140, ''], ['force-limit-loosened', 400, 450, 'Test bench'],
    ]);
    for (const [body, field] of [[{ row: 'static', value: 140 }, 'value'], [{ row: 'readings', value: 3.5 }, 'value'], [{ row: 'wind', value: 1 }, 'row'], [{ row: 'static', value: -1 }, 'value']] as const) {
      const { status, body: said } = await set(body, 3);
      expect([status, said.errors[0].field], JSON.stringify(body)).toEqual([400, field]);
    }
  });

  test('of two changes at once one is made and the other told', async () => {
    const answers = await Promise.all([set({ row: 'residual', value: 20 }, 3), set({ row: 'dynamic', value: 700 }, 3)]);
    expect(answers.map(({ status }) => status).sort((a, b) => a - b)).toEqual([200, expect.toSatisfy((status: number) => status === 409 || status === 412)]);
    expect((await world.callers.planner.get('force-limits')).body.table.version).toBe(4);
  });

  test('are facts, and each company’s own', async () => {
    const { database, company, otherCompany } = world;
    for (const verb of ['UPDATE force_limit_version SET number = number', 'DELETE FROM force_limit_version']) {
      await expect(database.store.withCompanySql(company, (client) => client.query(verb)), verb).rejects.toThrow(/permission denied/);
    }
    const theirs = await database.store.withCompanySql(otherCompany, (client) => client.query('SELECT FROM force_limit_version'));
    expect(theirs.rowCount).toBe(0);
  });
});

describe('instruments and their calibration', () => {
  const add = async (name: string, more: object = { kind: 'force-gauge', ...figures }): Promise<string> =>
    (await world.callers.planner.post('instruments', { name, maker: 'Invented', ...more })).body.id;
  const calibrate = (instrumentId: string, calibratedOn: string, dueOn: string) =>
    world.callers.planner.post('calibrations', { instrumentId, calibratedOn, dueOn, laboratory: 'Invented laboratory', certificateNumber: 'C-1' });

  test('a force gauge has its figures, another instrument none', async () => {
    const wrong = async (body: object) => (await world.callers.planner.post('instruments', { name: 'X', ...body })).body.errors.map(({ field }: { field: string }) => field);
    const { discMm: _, ...short } = figures;
    expect(await wrong({ kind: 'force-gauge', ...short })).toEqual(['discMm']);
    expect(await wrong({ kind: 'multimeter', discMm: 80 })).toEqual(['discMm']);
    expect(await wrong({ kind: 'force-gauge', ...figures, rangeFromNewton: 2000 })).toEqual(['rangeToNewton']);
    const id = await add('Gauge 0');
    expect((await world.callers.planner.patch(`instruments/${id}`, 1, { discMm: null })).body.errors[0].field).toBe('discMm');
    expect((await world.callers.planner.patch(`instruments/${id}`, 1, { accuracyPercent: 2 })).body).toMatchObject({ accuracyPercent: 2, version: 2 });
    expect((await world.callers.planner.post('instruments', { kind: 'other', name: 'Gauge 0' })).body.errors[0].field).toBe('name');
    for (const role of ['technician', 'owner'] as const) expect((await world.callers[role].post('instruments', { kind: 'other', name: 'Y' })).status).toBe(403);
    expect((await world.callers.owner.get('instruments')).status).toBe(403);
    expect((await world.callers.technician.get(`instruments/${id}`)).status).toBe(200);
  });

  test('stand by the newest calibration that was not withdrawn, those never calibrated first', async () => {
    const ids = { never: await add('A never'), expired: await add('B expired'), soon: await add('C soon'), fine: await add('D fine') };
    await calibrate(ids.expired, day(-400), day(-35));
    await calibrate(ids.soon, day(-320), day(40));
    await calibrate(ids.fine, day(-500), day(-100));
    await calibrate(ids.fine, day(-10), day(355));
    const tester = await add('E tester', { kind: 'voltage-tester' });
    await calibrate(tester, day(-900), day(300));
    const list = (await world.callers.technician.get('instruments?archived=false&q=invented')).body.items;
    expect(list.map(({ name, calibration }: { name: string; calibration: string }) => [name, calibration])).toEqual([
      ['Gauge 0', 'never'], ['A never', 'never'], ['B expired', 'out-of-date'], ['C soon', 'due-soon'], ['E tester', 'in-date'], ['D fine', 'in-date'],
    ]);
    expect((await world.callers.planner.get('instruments?calibration=never,out-of-date&archived=false')).body.items).toHaveLength(3);
    // The list's state, made by SQL, is the engine's.
    for (const one of list as { kind: string; calibratedOn: string | null; dueOn: string | null; goodThrough: string | null; calibration: string }[]) {
      const months = one.kind === 'force-gauge' ? defaultForceLimits.rows['gauge-calibration'].value : undefined;
      const good = one.calibratedOn === null ? undefined : calibrationGoodThrough({ calibratedOn: one.calibratedOn, dueOn: one.dueOn! }, months);
      expect([one.goodThrough, one.calibration]).toEqual([good ?? null, calibrationState(good, day(0))]);
    }
  });

  test('a force gauge is good no longer than the limits allow; the month that is too short ends it on its last day', async () => {
    const gauge = await add('F leap');
    await calibrate(gauge, '2024-02-29', '2030-01-01');
    expect((await world.callers.planner.get(`instruments/${gauge}`)).body).toMatchObject({ goodThrough: '2025-02-28', calibration: 'out-of-date' });
    const other = await add('G multimeter', { kind: 'multimeter' });
    await calibrate(other, '2024-02-29', '2030-01-01');
    expect((await world.callers.planner.get(`instruments/${other}`)).body).toMatchObject({ goodThrough: '2030-01-01', calibration: 'in-date' });
  });

  test('the engine says why a gauge may not be used', async () => {
    const id = await add('H slow', { kind: 'force-gauge', ...figures, samplingHertz: 100 });
    const fitness = async (on = '') => (await world.callers.technician.get(`instruments/${id}/fitness${on}`)).body.reasons.map(({ code }: { code: string }) => code);
    expect(await fitness()).toEqual(['sampling-too-slow', 'calibration-unknown']);
    await calibrate(id, day(-200), day(-20));
    // Within the year, but past what its certificate says.
    expect(await fitness()).toEqual(['sampling-too-slow', 'calibration-expired']);
    expect(await fitness(`?on=${day(-30)}`)).toEqual(['sampling-too-slow']);
    const tester = await add('I tester', { kind: 'voltage-tester' });
    expect((await world.callers.planner.get(`instruments/${tester}/fitness`)).status).toBe(409);
    const [own] = await world.database.store.withCompanySql(world.company, (client) => forceGauges(client, id));
    expect(own).toMatchObject({ name: 'H slow', gauge: { samplingHertz: 100, calibratedOn: day(-200), calibrationDueOn: day(-20) } });
  });

  test('a calibration is a fact: of the past, once, withdrawn with a reason', async () => {
    const id = await add('J facts');
    expect((await calibrate(id, day(3), day(300))).body.errors[0].field).toBe('calibratedOn');
    expect((await calibrate(id, day(-1), day(-1))).body.errors[0].field).toBe('dueOn');
    const made = await calibrate(id, day(-5), day(3000));
    expect((await calibrate(id, day(-5), day(300))).status).toBe(409);
    expect((await world.callers.planner.patch(`calibrations/${made.body.id}`, 1, { dueOn: day(10) })).status).toBe(405);
    expect((await world.callers.planner.post(`calibrations/${made.body.id}/withdraw`, {})).status).toBe(400);
    expect((await world.callers.technician.post(`calibrations/${made.body.id}/withdraw`, { reason: 'x' })).status).toBe(403);
    const gone = await world.callers.planner.post(`calibrations/${made.body.id}/withdraw`, { reason: 'Year mistyped' });
    expect(gone.body).toMatchObject({ withdrawn: true, withdrawnReason: 'Year mistyped', withdrawnByName: 'Test planner' });
    expect((await world.callers.planner.post(`calibrations/${made.body.id}/withdraw`, { reason: 'again' })).status).toBe(409);
    expect((await world.callers.planner.get(`instruments/${id}`)).body.calibration).toBe('never');
    expect((await calibrate(id, day(-5), day(300))).status).toBe(201);
    for (const verb of ['UPDATE calibration SET due_on = due_on', 'DELETE FROM calibration', 'DELETE FROM competence', 'UPDATE competence SET valid_until = NULL']) {
      await expect(world.database.store.withCompanySql(world.company, (client) => client.query(verb)), verb).rejects.toThrow(/permission denied/);
    }
    expect((await ledgerOf('calibration')).at(-2)).toMatchObject({ action: 'calibration-withdrawn', detail: { reason: 'Year mistyped' } });
  });

  test('a retired one takes no calibration and is offered for no test', async () => {
    const id = await add('K retired');
    expect((await world.callers.planner.delete(`instruments/${id}`, 1)).status).toBe(204);
    expect((await calibrate(id, day(-5), day(300))).status).toBe(409);
    expect(await world.database.store.withCompanySql(world.company, (client) => forceGauges(client, id))).toEqual([]);
  });
});

describe('competences', () => {
  const add = (body: object, role: 'administrator' | 'planner' = 'administrator') =>
    world.callers[role].post('competences', { accountId: world.accountIds.technician, kind: 'safety-inspection', evidence: 'Course', issuer: 'Invented school', validFrom: day(-700), ...body });
  const onDay = async (role: 'technician' | 'planner', kind: 'safety-inspection' | 'electrical', on = day(0)) =>
    competenceOn(await world.database.store.withCompanySql(world.company, competenceRecords), { accountId: world.accountIds[role], kind, on });

  test('nobody is blocked until the company records one of the kind; then who has none that holds', async () => {
    expect(await onDay('technician', 'safety-inspection')).toMatchObject({ verdict: 'not-kept', blocks: false });
    expect((await add({}, 'planner')).status).toBe(403);
    const made = await add({ validUntil: day(30) });
    expect(made.body).toMatchObject({ state: 'expires-soon', accountName: 'Test technician', recordedByName: 'Test administrator' });
    expect(await onDay('technician', 'safety-inspection')).toMatchObject({ verdict: 'competent', blocks: false, record: { id: made.body.id } });
    expect(await onDay('technician', 'safety-inspection', day(31))).toMatchObject({ verdict: 'expired', blocks: true });
    expect(await onDay('planner', 'safety-inspection')).toMatchObject({ verdict: 'none', blocks: true });
    expect(await onDay('technician', 'electrical')).toMatchObject({ verdict: 'not-kept', blocks: false });
  });

  test('is revoked from a day on, with the reason, once', async () => {
    const { id } = (await add({ kind: 'electrical' })).body;
    const revoke = (body: object) => world.callers.administrator.post(`competences/${id}/revoke`, body);
    expect((await revoke({ revokedOn: day(-1) })).body.errors[0].field).toBe('reason');
    expect((await revoke({ revokedOn: day(3), reason: 'x' })).body.errors[0].field).toBe('revokedOn');
    expect((await revoke({ revokedOn: day(-800), reason: 'x' })).body.errors[0].field).toBe('revokedOn');
    expect((await revoke({ revokedOn: day(-10), reason: 'Licence withdrawn' })).body).toMatchObject({ state: 'revoked', revokedReason: 'Licence withdrawn' });
    expect((await revoke({ revokedOn: day(-10), reason: 'again' })).status).toBe(409);
    expect(await onDay('technician', 'electrical', day(-11))).toMatchObject({ verdict: 'competent' });
    expect(await onDay('technician', 'electrical', day(-10))).toMatchObject({ verdict: 'revoked', blocks: true });
    expect((await ledgerOf('competence')).map(({ action }) => action)).toEqual(['competence-added', 'competence-added', 'competence-revoked']);
  });

  test('is of the company’s own people, and theirs to see', async () => {
    expect((await add({ accountId: world.accountIds.owner })).body.errors[0].field).toBe('accountId');
    expect((await add({ validUntil: day(-701) })).body.errors[0].field).toBe('validUntil');
    expect((await world.callers.owner.get('competences')).status).toBe(403);
    expect((await world.callers.technician.get('competences?state=revoked')).body.items).toHaveLength(1);
  });
});
