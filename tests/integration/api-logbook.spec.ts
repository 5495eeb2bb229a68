import { writeFileSync } from 'node:fs';
import type { LogBookEntry } from '@lintel/contract';
import { newId } from '@lintel/store';
import { parse } from 'csv-parse/sync';
import { afterAll, beforeAll, expect, test } from 'vitest';
import { openApiWorld, type ApiWorld } from '../support/apiWorld.js';
import { pdfPages } from '../support/pdf.js';

let world: ApiWorld;
let doorUrl: string;
const day = (on: string, time = '10:00:00Z') => new Date(`${on}T${time}`);
const longNote = `Kjetting «slakk»; Þétting ≥ 3 mm — ${'long words about the seal '.repeat(60)}end`;

beforeAll(async () => {
  world = await openApiWorld();
  const { database, company, fleet, taskId, accountIds, callers } = world;
  const { companyId } = company;
  doorUrl = `doors/${fleet.doorId}/log-book`;
  const { doorId, chainId, chainPositionId } = fleet;
  await database.store.withCompany(company, async (db) => {
    // Late in the evening of the 10th in UTC is the 11th at the site in Oslo.
    await db.completion.create({ data: { companyId, id: newId(), doorId, taskId, doneAt: day('2025-03-10', '23:30:00Z'), passed: false, note: longNote, accountId: accountIds.technician, lifetimeCycles: 41_000n } });
    const faultCodeId = newId();
    await db.faultCode.create({ data: { companyId, id: faultCodeId, code: 'E21', name: 'Chain slack', kind: 'mechanical' } });
    await db.fault.create({ data: { companyId, id: newId(), doorId, faultCodeId, at: day('2025-05-01'), source: 'form' } });
    await db.fittedPart.update({ where: { companyId_id: { companyId, id: chainId } }, data: { removedAt: day('2025-05-02'), removalReason: 'failed', removedCycles: 50_000n, serial: 'OLD-1' } });
    await db.fittedPart.create({ data: { companyId, id: newId(), doorId, positionId: chainPositionId, fittedAt: day('2025-05-02'), serial: 'NEW-2' } });
    await db.fittedPart.create({ data: { companyId, id: newId(), doorId, positionId: fleet.beamPositionId, fittedAt: day('2025-06-01'), removedAt: day('2025-06-02'), removalReason: 'entered_in_error' } });
    await db.counter.update({ where: { companyId_id: { companyId, id: fleet.counterId } }, data: { removedAt: day('2025-07-01') } });
    const counterId = newId();
    await db.counter.create({ data: { companyId, id: counterId, doorId, fittedAt: day('2025-07-01'), startValue: 0n } });
    const readingId = newId();
    await db.reading.create({ data: { companyId, id: readingId, doorId, counterId, at: day('2025-08-01'), value: 9_999n, source: 'form' } });
    await db.readingOverrule.create({ data: { companyId, readingId, doorId, use: false, note: 'mistyped on paper', accountId: accountIds.planner, at: day('2025-08-02') } });
    await db.overdueNotice.create({ data: { companyId, id: newId(), doorId, taskId, latestOn: day('2025-09-01'), noticedAt: day('2025-09-01', '23:00:00Z') } });
    const orderId = newId();
    await db.workOrder.create({
      data: {
        companyId, id: orderId, number: 7, kind: 'commissioning', state: 'completed', origin: 'hand', doorId, title: 'First test and handover', minutes: 60, passed: true, steps: [{ id: 'a', kind: 'confirm', text: 'x' }],
        completedAt: day('2024-01-16'), completedById: accountIds.technician, startedAt: day('2024-01-16'), releasedAt: day('2024-01-16'),
      },
    });
    for (const [step, kind, outcome] of [['a', 'test-device', 'passed'], ['b', 'test-device', 'failed'], ['f', 'force-test', 'passed'], ['c', 'confirm', 'passed']] as const) {
      await db.workAnswer.create({ data: { companyId, id: newId(), workOrderId: orderId, step, value: { kind, outcome }, counts: true, accountId: accountIds.technician } });
    }
    // A later answer to the same step is what counts.
    await db.workAnswer.create({ data: { companyId, id: newId(), workOrderId: orderId, step: 'b', value: { kind: 'test-device', outcome: 'passed' }, counts: true, accountId: accountIds.technician } });
    await db.workPart.create({ data: { companyId, id: newId(), workOrderId: orderId, kind: 'light-beam', name: 'Beam set', quantity: 2 } });
    await db.finding.create({ data: { companyId, id: newId(), doorId, workOrderId: orderId, severity: 'unsafe', text: 'Edge does not reverse', foundAt: day('2024-01-16', '09:00:00Z'), accountId: accountIds.technician, positionId: fleet.beamPositionId } });
  });
  await callers.planner.post(`doors/${doorId}/state`, { state: 'out-of-service', reason: 'Panel torn' });
  await callers.planner.patch(`doors/${doorId}`, (await callers.planner.get(`doors/${doorId}`)).body.version, { serial: 'SN-77', maker: 'Invented Doors', installer: 'Invented Fitters' });
});
afterAll(() => world?.close());

const entries = async (): Promise<LogBookEntry[]> => (await world.callers.owner.get(doorUrl)).body.entries;

test('holds, in the order of time, what EN 12635 asks for as far as it is kept: the door, and what was done by whom', async () => {
  const answer = await world.callers.owner.get(doorUrl);
  expect(answer.status).toBe(200);
  expect(answer.body).toMatchObject({ companyName: 'Company A', supplyVolts: 240, countryCode: 'NO', leftOut: 0, door: { name: 'F-01', serial: 'SN-77', maker: 'Invented Doors', installer: 'Invented Fitters', state: 'out-of-service', stateReason: 'Panel torn' } });
  expect(answer.body.fitted).toEqual([{ position: 'Drive chain', safetyDevice: false, serial: 'NEW-2', fittedOn: '2025-05-02' }]);
  const found = (await entries()).map(({ on, kind, what, person }) => [on, kind, what, person]);
  expect(found.slice(0, 11)).toEqual([
    ['2024-01-15', 'installation', 'Freezer type', null],
    ['2024-01-15', 'counter', 'Counter “main”: fitted', null],
    ['2024-01-16', 'finding', 'Safety beam', 'Test technician'],
    ['2024-01-16', 'handover', 'First test and handover', 'Test technician'],
    ['2025-03-11', 'inspection', 'Yearly inspection', 'Test technician'],
    ['2025-05-02', 'repair', 'Drive chain: new part fitted', null],
    ['2025-07-01', 'counter', 'Counter “main”: taken out', null],
    ['2025-07-01', 'counter', 'Counter “main”: fitted', null],
    ['2025-08-02', 'reading-overruled', 'Reading 9999 of 2025-08-01: set aside', 'Test planner'],
    ['2025-09-02', 'overdue', 'Yearly inspection', null],
    [expect.any(String), 'state', 'out of service', 'Test planner'],
  ]);
  expect(found.slice(11)).toEqual([[expect.any(String), 'modification', 'Facts of the door changed', 'Test planner']]);
});

test('says of each what was wrong, what was done, with which parts and tests', async () => {
  const by = Object.fromEntries((await entries()).map((entry) => [entry.kind, entry]));
  expect(by['installation']).toMatchObject({ note: 'fitted at installation: Drive chain' });
  expect(by['inspection']).toMatchObject({ passed: false, note: longNote, cycles: 41_000 });
  expect(by['repair']).toMatchObject({ reason: 'failed', defect: 'E21 Chain slack', remedy: 'Drive chain replaced', note: 'old serial OLD-1; new serial NEW-2', cycles: 50_000 });
  expect(by['handover']).toMatchObject({ passed: true, orderNumber: 7, parts: [{ name: 'Beam set', quantity: 2 }], tests: { devices: 2, devicesFailed: 0, forces: 1, forcesFailed: 0 } });
  expect(by['finding']).toMatchObject({ severity: 'unsafe', defect: 'Edge does not reverse', remedy: null, note: 'open', orderNumber: 7 });
  expect(by['state']).toMatchObject({ note: 'Panel torn' });
  expect(by['modification']).toMatchObject({ note: 'installer: Invented Fitters; maker: Invented Doors; serial: SN-77' });
  expect(by['overdue']).toMatchObject({ note: 'latest date was 2025-09-01' });
});

test('in print: the door on every page, each entry once, and nothing of a long text lost', async () => {
  const { app } = world.api;
  const answer = await app.inject({ method: 'GET', url: `/api/v1/${doorUrl}.pdf`, headers: { cookie: world.callers.owner.cookie } });
  expect([answer.statusCode, answer.headers['content-type']]).toEqual([200, 'application/pdf']);
  expect(answer.headers['content-disposition']).toMatch(/^attachment; filename="log-book-F-01\.pdf"/);
  if (process.env['LINTEL_KEEP_PDF']) writeFileSync(process.env['LINTEL_KEEP_PDF'], answer.rawPayload);
  const pages = await pdfPages(answer.rawPayload);
  expect(pages.length).toBeGreaterThan(1);
  for (const [index, page] of pages.entries()) {
    for (const text of ['Log book of door F-01', 'Serial SN-77 · owner Owner · kept by Company A', `Page ${index + 1} of ${pages.length}`]) expect(page).toContain(text);
  }
  const all = pages.join(' ');
  for (const text of ['Maker Invented Doors', 'Installed by Invented Fitters', 'Supply of the drive 240 V', '3000 × 3500 mm', 'State: out of service', 'Panel torn', 'E21 Chain slack', 'NOT PASSED', 'UNSAFE', 'Kjetting «slakk»;', 'Þétting ≥ 3 mm', 'closing force tested: 1']) {
    expect(all.replaceAll(/\s+/g, ' ')).toContain(text);
  }
  expect(all.match(/Repair/g)).toHaveLength(1);
  expect(all.match(/\bend\b/g)).toHaveLength(1);
});

test('as CSV, read back', async () => {
  const answer = await world.callers.owner.get(`${doorUrl}.csv`);
  expect(answer.headers['content-type']).toBe('text/csv; charset=utf-8');
  const rows = parse(answer.text, { bom: true, columns: true }) as Record<string, string>[];
  expect(rows.map(({ day: on, kind, order, passed }) => [on, kind, order, passed]).slice(0, 5)).toEqual([
    ['2024-01-15', 'Installation', '', ''], ['2024-01-15', 'Counter', '', ''], ['2024-01-16', 'Defect found', '7', ''], ['2024-01-16', 'Handover', '7', 'yes'], ['2025-03-11', 'Inspection', '', 'no'],
  ]);
  expect(rows[4]!['what']).toBe(`Yearly inspection: NOT PASSED; ${longNote}`);
});

test('is for whoever may see the door, and for nobody else', async () => {
  const { callers, otherOwner, foreign, fleet, api } = world;
  for (const doorId of [otherOwner.doorId, foreign.doorId]) {
    for (const ending of ['', '.csv', '.pdf']) expect((await callers.owner.get(`doors/${doorId}/log-book${ending}`)).status).toBe(404);
  }
  expect((await callers.planner.get(`doors/${otherOwner.doorId}/log-book`)).status).toBe(200);
  expect((await callers.planner.get(`doors/${foreign.doorId}/log-book`)).status).toBe(404);
  expect((await api.ask({ method: 'GET', url: `doors/${fleet.doorId}/log-book` })).status).toBe(401);
});

test('of more than 5,000 entries page and print show the newest and say so; the CSV file has them all', async () => {
  const { callers, otherOwner, taskId, company, database, accountIds } = world;
  const url = `doors/${otherOwner.doorId}/log-book`;
  const before = (await callers.planner.get(url)).body.entries.length as number;
  await database.store.withCompanySql(company, (client) => client.query(
    `INSERT INTO completion (company_id, id, door_id, task_id, done_at, passed, note, account_id)
     SELECT $1, gen_random_uuid(), $2, $3, timestamptz '2025-01-01 00:00Z' + n * interval '1 minute', true, 'round ' || n, $4 FROM generate_series(1, 5001) n`,
    [company.companyId, otherOwner.doorId, taskId, accountIds.technician],
  ));
  const { body } = await callers.planner.get(url);
  expect(body.entries).toHaveLength(5000);
  expect(body.leftOut).toBe(before + 1);
  const notes = body.entries.map(({ note }: LogBookEntry) => note);
  expect(notes).not.toContain('round 1');
  expect(notes.at(-1)).toBe('round 5001');
  const rows = parse((await callers.planner.get(`${url}.csv`)).text, { bom: true, columns: true }) as Record<string, string>[];
  expect(rows).toHaveLength(before + 5001);
  expect(rows.some(({ what }) => what!.endsWith('round 1'))).toBe(true);
});
