import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, beforeAll, expect, test } from 'vitest';
import { openApiWorld, type ApiWorld } from '../support/apiWorld.js';
import { completeInspection } from '../support/inspection.js';
import { runCli } from '../support/runCli.js';

let world: ApiWorld;
let home: string;
const secret = process.env['LINTEL_KEY_SECRET']!;

beforeAll(async () => {
  world = await openApiWorld();
  home = mkdtempSync(join(tmpdir(), 'lintel-issue-'));
});
afterAll(async () => {
  rmSync(home, { recursive: true });
  await world.close();
});

const lintel = (keySecret: string, ...words: string[]) =>
  runCli(['issue-certificates', ...words], { DATABASE_URL: world.database.ownerUrl, LINTEL_HOME: home, LINTEL_KEY_SECRET: keySecret });

test('issue-certificates: lists what has none, says why nothing can be signed, issues once', { timeout: 120_000 }, async () => {
  const { company, database: { store }, accountIds, fleet } = world;
  process.env['LINTEL_KEY_SECRET'] = 'too short';
  try {
    await completeInspection({ store, context: company, accountId: accountIds.technician, doorId: fleet.doorId });
  } finally {
    process.env['LINTEL_KEY_SECRET'] = secret;
  }
  const where = ['--company', company.companyId];
  const listed = await lintel(secret, ...where, '--list');
  expect(listed).toMatchObject({ code: 0, stderr: '' });
  expect(listed.stdout).toMatch(/^no certificate {2}order \d+, door F-01, Site, completed \d{4}-\d\d-\d\dT[^\n]+\n1 without a certificate\n$/);
  const unsigned = await lintel('too short', ...where);
  expect(unsigned).toMatchObject({ code: 1, stdout: '', stderr: expect.stringMatching(/^lintel issue-certificates: .*LINTEL_KEY_SECRET/) });
  const issued = await lintel(secret, ...where, '--json');
  expect(issued).toMatchObject({ code: 0, stderr: '' });
  const { body } = await world.callers.administrator.get('certificates?limit=10');
  expect(JSON.parse(issued.stdout).map(({ number }: { number: string }) => number)).toEqual(body.items.map(({ number }: { number: string }) => number));
  expect(body.items).toHaveLength(1);
  expect(await lintel(secret, ...where)).toMatchObject({ code: 0, stdout: '0 issued\n' });
  expect(await lintel(secret, '--company', 'Nobody')).toMatchObject({ code: 2, stderr: expect.stringContaining('Nobody') });
});
