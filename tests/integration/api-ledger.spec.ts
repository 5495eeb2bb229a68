import { sealedText, type SealedEntry } from '@lintel/engine';
import { checkLedgerNoted, sha256Hex } from '@lintel/store';
import { afterAll, beforeAll, expect, test } from 'vitest';
import { openApiWorld, type ApiWorld } from '../support/apiWorld.js';

let world: ApiWorld;
beforeAll(async () => {
  world = await openApiWorld();
});
afterAll(() => world?.close());

test('entries say their place and hash, and can be computed anew from what the API answers', async () => {
  const { planner } = world.callers;
  await planner.post('owners', { name: 'Zoë «Ö» 🚪' });
  const { items } = (await planner.get('ledger?limit=100&sort=sequence')).body;
  expect(items.map((entry: { sequence: number }) => entry.sequence)).toEqual(items.map((_: unknown, n: number) => n + 1));
  for (const entry of items) {
    const told: SealedEntry = { ...entry, companyId: world.company.companyId, at: new Date(entry.at).toISOString(), detail: JSON.stringify(entry.detail) };
    expect(sha256Hex(sealedText(told))).toBe(entry.hash);
  }
});

test('the chain says where it ends and what its last check found; the anchor is of that end', async () => {
  const { planner, administrator, technician } = world.callers;
  const before = (await planner.get('ledger/chain')).body;
  expect(before.check).toBeNull();
  const anchor = await technician.get('ledger/anchor');
  expect(anchor.headers['content-disposition']).toContain('ledger-anchor.json');
  expect(anchor.body.anchors).toEqual([before.head]);
  expect(before.head).toMatchObject({ companyId: world.company.companyId, companyName: 'Company A', hash: expect.stringMatching(/^[0-9a-f]{64}$/) });
  const asked = await administrator.post('ledger/checks');
  expect(asked.status).toBe(202);
  expect((await administrator.get(`jobs/${asked.body.jobId}`)).body).toMatchObject({ job: 'check-ledger', state: 'waiting' });
  const { entries } = await checkLedgerNoted(world.database.store, world.company);
  expect((await planner.get('ledger/chain')).body.check).toMatchObject({ entries, fault: null });
  await world.database.owner.query(`UPDATE ledger_entry SET actor = 'x' WHERE company_id = $1 AND sequence = 2`, [world.company.companyId]);
  await checkLedgerNoted(world.database.store, world.company);
  expect((await planner.get('ledger/chain')).body.check).toMatchObject({ entries: 1, fault: { code: 'changed', sequence: 2 } });
});

test('an owner sees neither, and only an administrator asks for a check', async () => {
  for (const path of ['ledger/chain', 'ledger/anchor']) expect((await world.callers.owner.get(path)).status).toBe(403);
  expect((await world.callers.planner.post('ledger/checks')).status).toBe(403);
});
