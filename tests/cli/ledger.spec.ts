import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { writeLedger, type CompanyContext } from '@lintel/store';
import { afterAll, beforeAll, expect, test } from 'vitest';
import { runCli } from '../support/runCli.js';
import { openTestDatabase, type TestDatabase } from '../support/testDatabase.js';

let database: TestDatabase;
let [one, other]: CompanyContext[] = [];
let folder: string;
beforeAll(async () => {
  database = await openTestDatabase();
  folder = mkdtempSync(join(tmpdir(), 'lintel-ledger-'));
  one = await database.newCompany('One');
  other = await database.newCompany('Other');
  for (const context of [one, other]) {
    for (let n = 0; n < 3; n += 1) {
      await database.store.withCompanySql(context, (client) => writeLedger(client, context, { action: 'tested', subjectKind: 'door', subjectId: null, detail: { n } }));
    }
  }
});
afterAll(async () => {
  rmSync(folder, { recursive: true });
  await database.drop();
});

const lintel = (...words: string[]) => runCli(words, { DATABASE_URL: database.ownerUrl, LINTEL_HOME: folder });

test('check-ledger and anchor-ledger: in order; held against anchors; what does not fit is named, by exit code and words', { timeout: 180_000 }, async () => {
  const exported = await lintel('anchor-ledger');
  expect(JSON.parse(exported.stdout).anchors.map(({ companyName, sequence }: { companyName: string; sequence: number }) => [companyName, sequence])).toEqual([['One', 3], ['Other', 3]]);
  const anchors = join(folder, 'anchors.json');
  writeFileSync(anchors, exported.stdout);
  const good = await lintel('check-ledger', '--anchors', anchors);
  expect(good).toMatchObject({ code: 0, stderr: '' });
  expect(good.stdout).toMatch(/^One: 3 entries in order, 1 anchor fits, the last with hash [0-9a-f]{64}\nOther: 3 entries in order, 1 anchor fits, the last with hash [0-9a-f]{64}\n$/);
  await database.owner.query(`UPDATE ledger_entry SET action = 'x' WHERE company_id = $1 AND sequence = 2`, [other!.companyId]);
  const { rows } = await database.owner.query<{ id: string; at: Date }>('SELECT id, at FROM ledger_entry WHERE company_id = $1 AND sequence = 2', [other!.companyId]);
  const bad = await lintel('check-ledger', '--json');
  expect(bad.code).toBe(1);
  expect(bad.stderr).toBe('lintel check-ledger: the ledger of "Other" does not hold\n');
  expect(JSON.parse(bad.stdout)).toMatchObject({ ok: false, companies: [{ entries: 3, fault: null }, { entries: 1, fault: { code: 'changed', sequence: 2, id: rows[0]!.id } }] });
  const told = await lintel('check-ledger', '--company', 'Other');
  expect(told.stdout).toBe(`Other: 1 entry in order, then: Entry 2 (id ${rows[0]!.id}, ${rows[0]!.at.toISOString()}) does not say what was sealed: it was changed, or stands in another place.\n`);
  expect((await lintel('check-ledger', '--company', 'One')).code).toBe(0);
  // Anchors of a company that is gone are not passed over.
  const [anchor] = JSON.parse(exported.stdout).anchors;
  writeFileSync(anchors, JSON.stringify({ anchors: [{ ...anchor, companyId: '019ad0a0-0000-7000-8000-000000000000' }] }));
  expect(await lintel('check-ledger', '--anchors', anchors)).toMatchObject({ code: 1, stderr: expect.stringContaining('no such company') });
  writeFileSync(anchors, '{"anchors":[{"sequence":1}]}');
  expect(await lintel('check-ledger', '--anchors', anchors)).toMatchObject({ code: 2, stderr: expect.stringContaining('anchors.0') });
  expect((await lintel('check-ledger', '--anchors', join(folder, 'none.json'))).code).toBe(2);
});
