import { afterAll, beforeAll, expect, it } from 'vitest';
import { addAccount, type Caller } from '../support/api.js';
import { openApiWorld, type ApiWorld } from '../support/apiWorld.js';
import { released, send, sent } from '../support/work.js';

let world: ApiWorld;
let planner: Caller;
let technicianId: string;
const ids: Record<'beam' | 'chain', string> = { beam: '', chain: '' };

beforeAll(async () => {
  world = await openApiWorld();
  planner = world.callers.planner;
  technicianId = world.accountIds.technician;
  await planner.post('technicians', { accountId: technicianId, homeLatitude: 60, homeLongitude: 5, timeZone: 'Europe/Oslo', shifts: [] });
  for (const [key, kind, inStore] of [['beam', 'light-beam', 5], ['chain', 'drive-chain', 2]] as const) {
    const made = await planner.post('stock-parts', { code: key.toUpperCase(), kind, name: key, inStore, lowAt: 2, perVan: 2 });
    if (made.status !== 201) throw new Error(made.text);
    ids[key] = made.body.id;
  }
});
afterAll(() => world?.close());

const part = async (key: keyof typeof ids) => (await planner.get(`stock-parts/${ids[key]}`)).body;
const load = (parts: { partId: string; quantity: number }[], caller: Caller = planner) => caller.post('van-loads', { technicianId, parts });

it('a part says what lies in the store and in the vans, and when it is low; its quantity is set under its version', async () => {
  expect(await part('beam')).toMatchObject({ inStore: 5, inVans: 0, lowAt: 2, perVan: 2, low: false, version: 1 });
  expect(await part('chain')).toMatchObject({ inStore: 2, low: true });
  expect((await planner.get('stock-parts?low=true')).body.items.map(({ code }: { code: string }) => code)).toEqual(['CHAIN']);
  expect((await planner.patch(`stock-parts/${ids.chain}`, 1, { inStore: 3 })).body).toMatchObject({ inStore: 3, low: false, version: 2 });
  expect((await planner.patch(`stock-parts/${ids.chain}`, 1, { inStore: 9 })).status).toBe(412);
  for (const inStore of [-1, 1.5, 10_001]) expect((await planner.patch(`stock-parts/${ids.chain}`, 2, { inStore })).body.errors[0].field).toBe('inStore');
  expect((await world.callers.technician.patch(`stock-parts/${ids.chain}`, 2, { inStore: 4 })).status).toBe(403);
  expect((await world.callers.technician.get(`stock-parts/${ids.chain}`)).body.inStore).toBe(3);
  expect((await world.callers.owner.get('stock-parts')).status).toBe(403);
});

it('goes from the store into a van and back, all of a load or none, and the ledger has it', async () => {
  const loaded = await load([{ partId: ids.beam, quantity: 4 }, { partId: ids.chain, quantity: 1 }]);
  expect([loaded.status, loaded.body]).toEqual([200, { parts: [{ partId: ids.beam, code: 'BEAM', inVan: 4, inStore: 1 }, { partId: ids.chain, code: 'CHAIN', inVan: 1, inStore: 2 }] }]);
  const vans = (await planner.get('van-stock?sort=code')).body.items;
  expect(vans.map(({ code, quantity, perVan, low }: Record<string, unknown>) => [code, quantity, perVan, low])).toEqual([['BEAM', 4, 2, false], ['CHAIN', 1, 2, true]]);
  expect((await planner.get('van-stock?low=true')).body.items.map(({ code }: { code: string }) => code)).toEqual(['CHAIN']);

  const short = await load([{ partId: ids.chain, quantity: 1 }, { partId: ids.beam, quantity: 2 }]);
  expect([short.status, short.body.errors]).toEqual([400, [{ field: 'parts[1].quantity', message: 'only 1 of BEAM are in the store' }]]);
  expect((await load([{ partId: ids.beam, quantity: -5 }])).body.errors).toEqual([{ field: 'parts[0].quantity', message: 'only 4 of BEAM are in the van' }]);
  expect([await part('beam'), await part('chain')].map(({ inStore, inVans }) => [inStore, inVans])).toEqual([[1, 4], [2, 1]]);
  expect((await load([{ partId: ids.beam, quantity: -3 }])).body.parts).toEqual([{ partId: ids.beam, code: 'BEAM', inVan: 1, inStore: 4 }]);

  for (const parts of [[], [{ partId: ids.beam, quantity: 0 }], [{ partId: ids.beam, quantity: 1 }, { partId: ids.beam, quantity: 1 }]]) expect((await load(parts)).status).toBe(400);
  const { rows } = await world.database.owner.query(`SELECT subject_id, detail FROM ledger_entry WHERE action = 'van-loaded' ORDER BY sequence`);
  expect(rows.map(({ subject_id, detail }) => [subject_id, detail.parts])).toEqual([
    [technicianId, [{ code: 'BEAM', quantity: 4 }, { code: 'CHAIN', quantity: 1 }]], [technicianId, [{ code: 'BEAM', quantity: -3 }]],
  ]);
});

it('is loaded by planners of the company alone', async () => {
  const parts = [{ partId: ids.beam, quantity: 1 }];
  for (const role of ['technician', 'owner'] as const) expect((await load(parts, world.callers[role])).status).toBe(403);
  await addAccount(world.database.store, world.otherCompany, 'planner', 'planner@z.example');
  expect((await load(parts, await world.api.signIn('planner@z.example'))).body.errors[0].field).toBe('technicianId');
});

it('two who load the last one at the same time: one gets it', async () => {
  const { inStore, inVans } = await part('chain');
  const answers = await Promise.all([load([{ partId: ids.chain, quantity: inStore }]), load([{ partId: ids.chain, quantity: inStore }])]);
  expect(answers.filter(({ status }) => status === 200)).toHaveLength(1);
  expect(answers.filter(({ status }) => status === 400)).toHaveLength(1);
  expect(await part('chain')).toMatchObject({ inStore: 0, inVans: inVans + inStore });
});

it('what a technician uses is gone from the own van, once, and never less than nothing lies there', async () => {
  await load([{ partId: ids.beam, quantity: 2 }]);
  const before = await part('beam');
  const order = await released(planner, { doorId: world.fleet.doorId, kind: 'corrective', title: 'Beam', technicianId });
  const used = (quantity: number, code: string) => sent(order.id, { command: 'use-part', kind: 'light-beam', quantity, code });
  const one = used(1, 'BEAM');
  await send(world.callers.technician, [sent(order.id, { command: 'start' }), one, used(4, 'OF-ANOTHER-MAKER')]);
  await send(world.callers.technician, [one]);
  expect(await part('beam')).toMatchObject({ inStore: before.inStore, inVans: before.inVans - 1 });
  await send(world.callers.technician, [used(50, 'BEAM'), used(50, 'BEAM')]);
  expect(await part('beam')).toMatchObject({ inStore: before.inStore, inVans: 0 });
});
